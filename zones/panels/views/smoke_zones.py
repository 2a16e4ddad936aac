"""Smoke zones: the list of a building, the page of one, its forms, vents, groups and copies."""

from django.core.paginator import Paginator
from django.db.models import Count, OuterRef, Q, Subquery
from django.db.models.functions import Coalesce
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.generic import DetailView

from sites_registry.access import STAFF_ROLES, VisibleMixin
from sites_registry.history import changes_of
from sites_registry.views.base import for_change
from sites_registry.views.lists import ListPage
from zones.design_check.free_areas import VentFigures, answer_of, required_of
from zones.design_check.leaves import leaf_in_words
from zones.editing.pages import RemovePage, ZonesFormPage, building_of, may_edit
from zones.editing.tags import tag_after
from zones.engineering.area_methods import INPUT_QUANTITIES
from zones.engineering.natural_order import natural_key
from zones.engineering.plumes import LABEL as PLUME_LABEL
from zones.models import Position, SmokeZone, Vent, VentGroup
from zones.panels.answers import area_measured
from zones.panels.contents import counts_of_zone
from zones.panels.forms.smoke_zones import VentForm, VentGroupForm, ZoneForm
from zones.panels.forms.zone_copies import DuplicateZoneForm
from zones.panels.tables import ZoneTable
from zones.panels.zone_copies import COPIED_OF_VENT, duplicate_zone, plan_copies


def _count(model):
    """How many records of a model a zone has; counted apart, since joined counts multiply."""
    counted = model.filter(smoke_zone=OuterRef("pk")).order_by().values("smoke_zone").annotate(count=Count("pk"))
    return Coalesce(Subquery(counted.values("count")), 0)


class ZoneListView(ListPage):
    model = SmokeZone
    table_class = ZoneTable
    filterset_fields = []
    heading = "Smoke zones"
    add_word = "Add zone"
    add_url_name = "zone-create"
    add_roles = STAFF_ROLES
    empty_text = "No smoke zone here yet."

    def get_queryset(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        zones = SmokeZone.objects.visible_to(self.request.user).filter(building=self.building)
        return zones.select_related("building", "panel__position").annotate(
            vents_count=_count(Vent.objects.filter(purpose=Vent.Purpose.OUTLET)),
            groups_count=_count(VentGroup.objects),
            positions_count=_count(Position.objects.in_use()),
        )

    def get_add_url(self):
        return reverse("zone-create", args=[self.building.slug])

    def get_trail(self):
        return [self.building]


def zone_of(request, slug, number):
    zones = SmokeZone.objects.visible_to(request.user).select_related("building", "panel__position")
    return get_object_or_404(zones, building__slug=slug, number=number)


class ZoneDetailView(VisibleMixin, DetailView):
    queryset = SmokeZone.objects.select_related("building", "panel__position")
    template_name = "zones/panels/zone_detail.html"
    context_object_name = "zone"
    positions_a_page = 100

    def get_object(self, queryset=None):
        return get_object_or_404(self.get_queryset(), building__slug=self.kwargs["slug"], number=self.kwargs["number"])

    def get_context_data(self, **kwargs):
        zone = self.object
        vents = zone.vents.annotate(actuators_count=Count("actuators", filter=Q(actuators__retired_on=None)))
        vents = sorted(vents, key=lambda vent: natural_key(vent.tag))
        positions = zone.positions.in_use().in_walking_order().with_wiring().with_serial()
        pages = Paginator(positions, self.positions_a_page)
        edits, area = may_edit(self.request), answer_of(zone, vents)
        for vent in vents:
            vent.opens = area.of_vents.get(vent.pk, VentFigures())
            vent.leaf_words = leaf_in_words(vent)
        inlets = [vent for vent in vents if vent.is_inlet]
        return super().get_context_data(
            may_edit=edits,
            answer=area,
            area=area_measured(area),
            required=required_of(zone),
            plume_label=PLUME_LABEL,
            vents=vents,
            outlets_count=len(vents) - len(inlets),
            inlets_count=len(inlets),
            idle_vents=[vent.tag for vent in vents if vent.opened_by == "actuator" and not vent.actuators_count],
            groups=zone.vent_groups.annotate(count=Count("positions", filter=Q(positions__retired_on=None))),
            fitted=pages.count - zone.positions.in_use().without_unit().count(),
            counts=counts_of_zone(zone),
            page=pages.get_page(self.request.GET.get("page")),
            lines=zone.detection_lines.select_related("panel__position"),
            changes=changes_of(zone) if edits else [],
            **kwargs,
        )


class ZoneCreateView(ZonesFormPage):
    form_class = ZoneForm
    template_name = "zones/panels/zone_form.html"
    heading = "Add smoke zone"
    verb = "Add zone"
    saved_message = "{record} added."
    can_add_another = True
    kept_fields = (
        "panel",
        "required_area_m2",
        "required_area_kind",
        "required_area_source",
        "area_method",
        *INPUT_QUANTITIES,
        "inlet_ratio",
        "inlet_ratio_kind",
        "needs_no_inlets",
        "needs_automatic_detection",
        "lockout_group",
    )

    def get_record(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        return SmokeZone(building=self.building)

    def form_arguments(self):
        highest = self.building.smoke_zones.order_by("-number").values_list("number", flat=True).first()
        panels = self.building.panels.order_by("pk").values_list("pk", flat=True)[:2]
        named = self.request.GET.get("panel", "")
        only = panels[0] if len(panels) == 1 else None
        return {"initial": {"number": (highest or 0) + 1, "panel": named if named.isdecimal() else only}}

    def get_trail(self, record):
        return [self.building]

    def get_back_url(self, record):
        return reverse("zone-list", args=[self.building.slug])


class ZoneUpdateView(ZonesFormPage):
    form_class = ZoneForm
    template_name = "zones/panels/zone_form.html"
    verb = "Save zone"
    saved_message = "{record} saved."

    def get_record(self):
        return for_change(
            SmokeZone.objects, self.request, building__slug=self.kwargs["slug"], number=self.kwargs["number"]
        )

    def get_heading(self, record):
        return f"Zone {self.kwargs['number']}"

    def get_back_url(self, record):
        return reverse("zone-detail", args=[self.kwargs["slug"], self.kwargs["number"]])

    def get_trail(self, record):
        return [record.building]


class InZonePage(ZonesFormPage):
    """A form for something new in the zone of this address."""

    model = None

    def get_record(self):
        self.zone = zone_of(self.request, self.kwargs["slug"], self.kwargs["number"])
        return self.model(smoke_zone=self.zone)

    def get_trail(self, record):
        return [self.zone.building, self.zone]

    def get_back_url(self, record):
        return self.zone.get_absolute_url()


class ChangeInZonePage(ZonesFormPage):
    """A form that changes a vent or a group."""

    model = None
    template_name = "zones/editing/mistake_form.html"
    remove_url_name = None

    def get_record(self):
        return for_change(self.model.objects, self.request, pk=self.kwargs["pk"])

    def get_trail(self, record):
        return [record.smoke_zone.building, record.smoke_zone]

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse(self.remove_url_name, args=[self.record.pk])}


class VentCreateView(InZonePage):
    model = Vent
    form_class = VentForm
    verb = "Add vent"
    saved_message = "Vent {record} added."
    can_add_another = True
    kept_fields = COPIED_OF_VENT

    def get_heading(self, record):
        return f"Add vent to zone {self.zone.number}"

    def following(self, record):
        return {"tag": tag_after(record.tag, self.zone.vents.values_list("tag", flat=True))}


class VentUpdateView(ChangeInZonePage):
    model = Vent
    form_class = VentForm
    verb = "Save vent"
    saved_message = "Vent {record} saved."
    remove_url_name = "vent-remove"

    def get_heading(self, record):
        return f"Vent of zone {record.smoke_zone.number}"


class VentRemoveView(RemovePage):
    queryset = Vent.objects.select_related("smoke_zone__building")


class VentGroupCreateView(InZonePage):
    model = VentGroup
    form_class = VentGroupForm
    verb = "Add group"
    saved_message = "Group {record} added."
    can_add_another = True

    def form_arguments(self):
        highest = self.zone.vent_groups.order_by("-number").values_list("number", flat=True).first()
        return {"initial": {"number": (highest or 0) + 1}}

    def get_heading(self, record):
        return f"Add vent group to zone {self.zone.number}"


class VentGroupUpdateView(ChangeInZonePage):
    model = VentGroup
    form_class = VentGroupForm
    verb = "Save group"
    saved_message = "Group {record} saved."
    remove_url_name = "vent-group-remove"

    def get_heading(self, record):
        return f"Vent group of zone {record.smoke_zone.number}"


class VentGroupRemoveView(RemovePage):
    queryset = VentGroup.objects.select_related("smoke_zone__building")


class ZoneDuplicateView(ZonesFormPage):
    """Duplicate a zone: first a preview that changes nothing, then all or nothing."""

    form_class = DuplicateZoneForm
    template_name = "zones/panels/zone_duplicate.html"
    verb = "Duplicate"
    plan = None

    def form_arguments(self):
        self.zone = zone_of(self.request, self.kwargs["slug"], self.kwargs["number"])
        tags = list(self.zone.positions.in_use().exclude(kind="control_panel").values_list("tag", flat=True))
        return {"zone": self.zone, "tags": tags}

    def get_heading(self, record):
        return f"Duplicate zone {self.zone.number}"

    def get_trail(self, record):
        return [self.zone.building, self.zone]

    def get_back_url(self, record):
        return self.zone.get_absolute_url()

    def act(self, form):
        if "confirm" not in self.request.POST:
            self.plan = plan_copies(zone=self.zone, **form.cleaned_data)
            for reason in self.plan.reasons:
                form.add_error(None, reason)
            return None
        self.made = duplicate_zone(zone=self.zone, **form.cleaned_data)
        return self.made[0]

    def success_url(self, record):
        if len(self.made) == 1:
            return record.get_absolute_url()
        return reverse("zone-list", args=[self.zone.building.slug])

    def get_context(self, form):
        return {**super().get_context(form), "plan": self.plan, "zone": self.zone}
