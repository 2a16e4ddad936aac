"""Cables of a building, the cores of one, and the ends of a core."""

from django.db.models import Count
from django.db.models.functions import Length
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.generic import DetailView

from sites_registry.access import STAFF_ROLES, VisibleMixin
from sites_registry.views.base import for_change
from sites_registry.views.lists import ListPage
from zones.editing.pages import RemovePage, ZonesFormPage, building_of, may_edit
from zones.editing.tags import tag_after
from zones.engineering.designations import colour_in_words
from zones.models import Cable, Core, Terminal
from zones.wiring.filters import CableFilter
from zones.wiring.forms.terminals import OFFERED_TERMINALS, CableForm, CoreForm, CoresForm
from zones.wiring.tables import CableTable
from zones.wiring.terminals import add_cores, full_name, put_ends


class CableListView(ListPage):
    table_class = CableTable
    filterset_class = CableFilter
    heading = "Cables"
    add_word = "Add cable"
    add_url_name = "cable-create"
    add_roles = STAFF_ROLES
    empty_text = "No cable here yet."

    def get_queryset(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        cables = Cable.objects.visible_to(self.request.user).filter(building=self.building)
        return cables.annotate(recorded_count=Count("cores"), tag_length=Length("tag"))

    def get_add_url(self):
        return reverse("cable-create", args=[self.building.slug])

    def get_trail(self):
        return [self.building]


class CableDetailView(VisibleMixin, DetailView):
    queryset = Cable.objects.select_related(
        "building",
        "upstream",
        "feeds",
        "far_box",
        "actuator_circuit__panel__position",
        "detection_line__panel__position",
    )
    template_name = "zones/wiring/cable_detail.html"

    def get_context_data(self, **kwargs):
        cores = list(
            self.object.cores.order_by("number").prefetch_related(
                "ends__terminal__panel__position", "ends__terminal__position"
            )
        )
        for core in cores:
            ends = {end.end: end.terminal for end in core.ends.all()}
            core.near, core.far = (ends.get(name) and (ends[name], full_name(ends[name])) for name in ("near", "far"))
            core.colour_words = colour_in_words(core.colour)
        return super().get_context_data(cores=cores, may_edit=may_edit(self.request), **kwargs)


class CableCreateView(ZonesFormPage):
    form_class = CableForm
    heading = "Add cable"
    verb = "Add cable"
    saved_message = "Cable {record} added."
    can_add_another = True
    kept_fields = (
        "cable_type",
        "cores_count",
        "area_mm2",
        "awg",
        "conductor_class",
        "is_tinned",
        "actuator_circuit",
        "detection_line",
        "cores_per_pole",
        "insulation",
        "method",
        "grouped_circuits",
        "ambient_c",
        "fire_rating",
        "fire_class",
        "integrity_min",
        "fixing_min",
        "from_place",
    )

    def get_record(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        return Cable(building=self.building)

    def following(self, record):
        return {"tag": tag_after(record.tag, record.building.cables.values_list("tag", flat=True))}

    def get_trail(self, record):
        return [self.building]

    def get_back_url(self, record):
        return reverse("cable-list", args=[self.building.slug])


class CableUpdateView(ZonesFormPage):
    form_class = CableForm
    template_name = "zones/editing/mistake_form.html"
    verb = "Save cable"
    saved_message = "Cable {record} saved."

    def get_record(self):
        return for_change(Cable.objects, self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"Cable {self.stored_name}"

    def get_trail(self, record):
        return [record.building, record]

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse("cable-remove", args=[self.record.pk])}


class CableRemoveView(RemovePage):
    queryset = Cable.objects.select_related("building")

    def post(self, request, pk):
        response = super().post(request, pk)
        if not Cable.objects.filter(pk=pk).exists():
            response["Location"] = self.list_url
        return response

    def get_back_url(self, record):
        self.list_url = reverse("cable-list", args=[record.building.slug])
        return record.get_absolute_url()


class CoreCreateView(ZonesFormPage):
    """Add several cores to the cable of this address."""

    form_class = CoresForm
    verb = "Add cores"
    saved_message = "Cores of {record} added."

    def form_arguments(self):
        cables = Cable.objects.visible_to(self.request.user).select_related("building")
        self.cable = get_object_or_404(cables, pk=self.kwargs["pk"])
        left = (self.cable.cores_count or 0) - self.cable.cores.count()
        return {"initial": {"count": left if left > 0 else None}}

    def get_heading(self, record):
        return f"Add cores to cable {self.cable}"

    def get_trail(self, record):
        return [self.cable.building, self.cable]

    def get_back_url(self, record):
        return self.cable.get_absolute_url()

    def act(self, form):
        add_cores(cable=self.cable, **form.cleaned_data)
        return self.cable


class CoreUpdateView(ZonesFormPage):
    form_class = CoreForm
    template_name = "zones/wiring/core_form.html"
    verb = "Save core"
    saved_message = "Core {record} saved."

    def get_record(self):
        return for_change(Core.objects, self.request, pk=self.kwargs["pk"])

    def form_arguments(self):
        ends = {
            end.end: end.terminal
            for end in self.record.ends.select_related("terminal__panel__position", "terminal__position")
        }
        return {"ends": ends, "names": {name: full_name(terminal) for name, terminal in ends.items()}}

    def get_heading(self, record):
        return f"Core {record.number} of cable {record.cable}"

    def get_trail(self, record):
        return [record.cable.building, record.cable]

    def get_back_url(self, record):
        return record.cable.get_absolute_url()

    def success_url(self, record):
        return record.cable.get_absolute_url()

    def act(self, form):
        core = form.save()
        return put_ends(core=core, near=form.cleaned_data["near"], far=form.cleaned_data["far"])

    def get_context(self, form):
        free = Terminal.objects.filter(building=self.record.cable.building_id, core_ends=None)
        free = free.select_related("panel__position", "position").order_by("panel", "position", "order_key")
        return {
            **super().get_context(form),
            "free_terminals": [full_name(each) for each in free[:OFFERED_TERMINALS]],
            "remove_url": reverse("core-remove", args=[self.record.pk]),
        }


class CoreRemoveView(RemovePage):
    queryset = Core.objects.select_related("cable__building")

    def get_back_url(self, record):
        return record.cable.get_absolute_url()
