"""Positions of a building: the device list, one position, making and changing them."""

from dataclasses import dataclass

import django_filters
import django_tables2 as tables
from django.db.models import Exists, OuterRef, Q
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils.html import format_html
from django.utils.text import capfirst

from sites_registry.access import STAFF_ROLES
from sites_registry.history import changes_of
from sites_registry.models import Building
from sites_registry.states import state_mark
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import CodeColumn, ListPage, RegisterTable
from sites_registry.words import storey_words
from zones.editing.tags import tag_after
from zones.models import DeviceKind, Fitting, PlanPlace, Position, SmokeZone
from zones.positions.edits import put_last_in_walk, storey_rank
from zones.positions.forms.positions import PositionForm
from zones.positions.identical_units import identical_units_of


class PositionFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(label="Tag, place or serial", max_length=80, method="named")
    kind = django_filters.ChoiceFilter(label="Kind", choices=DeviceKind.choices, empty_label="all")
    zone = django_filters.ModelChoiceFilter(
        "smoke_zone", label="Zone", queryset=SmokeZone.objects.none(), empty_label="all"
    )
    storey = django_filters.ChoiceFilter(label="Storey", choices=[], empty_label="all")
    unit = django_filters.ChoiceFilter(
        label="Unit",
        choices=[("without", "without unit"), ("with", "with unit")],
        empty_label="all",
        method="by_unit",
    )
    use = django_filters.ChoiceFilter(
        label="Use",
        choices=[("no-longer-used", "no longer used"), ("all", "all")],
        empty_label="in use",
        method="by_use",
    )

    class Meta:
        model = Position
        fields = []

    def __init__(self, *args, building, **kwargs):
        super().__init__(*args, **kwargs)
        self.form.fields["zone"].queryset = building.smoke_zones.order_by("number")
        storeys = building.positions.exclude(storey="").order_by().values_list("storey", flat=True).distinct()
        choices = [("", "all"), *((storey, storey) for storey in sorted(storeys, key=storey_rank))]
        self.form.fields["storey"].choices = choices

    def named(self, positions, name, value):
        serials = Fitting.objects.open().filter(position=OuterRef("pk"), unit__serial__icontains=value)
        return positions.filter(
            Q(tag__icontains=value) | Q(room__icontains=value) | Q(place__icontains=value) | Exists(serials)
        )

    def by_unit(self, positions, name, value):
        return positions.without_unit() if value == "without" else positions.exclude(serial=None)

    def by_use(self, positions, name, value):
        return positions.exclude(retired_on=None) if value == "no-longer-used" else positions

    def filter_queryset(self, queryset):
        positions = super().filter_queryset(queryset)
        return positions if self.form.cleaned_data.get("use") else positions.in_use()

    @property
    def qs(self):
        return super().qs if self.is_bound else self.queryset.in_use()


class PositionTable(RegisterTable):
    noun = "positions"
    grouped_by = "Kind"
    tag = CodeColumn(order_by="tag_key")
    kind = tables.Column()
    smoke_zone = tables.Column(verbose_name="Zone", order_by=("smoke_zone__number", "walking_order"))
    place = tables.Column(empty_values=(), order_by=("storey", "room"))
    circuit_or_line = tables.Column(
        empty_values=(),
        verbose_name="Circuit or line",
        order_by=("panel__position__tag_key", "actuator_circuit__number", "detection_line__number", "order_on_line"),
    )
    model_name = tables.Column(verbose_name="Model", empty_values=())
    serial = CodeColumn(css="serial", linkify=False, empty_values=())

    holds = {"kind": "kind", "smoke_zone": "zone", "circuit_or_line": "kind", "model_name": "name"}

    class Meta(RegisterTable.Meta):
        fields = ()

    def render_place(self, record):
        return " · ".join(part for part in (capfirst(storey_words(record.storey)), record.room, record.place) if part)

    def render_circuit_or_line(self, record):
        return wired_to(record)

    def render_model_name(self, record, value):
        if value or record.product_model is None:
            return value or ""
        return format_html('<span class="soft">{}, planned</span>', record.product_model.name)

    def render_serial(self, record, value):
        if record.retired_on:
            return state_mark("retired")
        return format_html('<span class="serial">{}</span>', value) if value else state_mark("missing", "no unit")


def run_of(position):
    """The circuit, line or data link that a position is on, or None."""
    return position.actuator_circuit or position.detection_line or position.data_link


def wired_to(position):
    """Circuit or line with the place on it: "P1 circuit 3, place 2"; empty when it is on none."""
    record = run_of(position)
    if record is None:
        return ""
    return f"{record}, place {position.order_on_line}" if position.order_on_line else str(record)


class BuildingMixin:
    """For pages of one building: `self.building`, or 404 where this person may not see it."""

    def setup(self, request, *args, **kwargs):
        super().setup(request, *args, **kwargs)
        self._building = None

    @property
    def building(self):
        if self._building is None:
            self._building = get_object_or_404(Building.objects.visible_to(self.request.user), slug=self.kwargs["slug"])
        return self._building


class PositionListView(BuildingMixin, ListPage):
    queryset = Position.objects.with_serial().with_wiring().in_walking_order()
    table_class = PositionTable
    filterset_class = PositionFilter
    template_name = "zones/positions/position_list.html"
    heading = "Positions"
    add_url_name = "position-create"
    add_word = "Add a position"
    add_roles = STAFF_ROLES
    paginate_by = 100
    empty_text = "This building has no position yet. Import its device list, or add the first position."

    def get_queryset(self):
        return super().get_queryset().filter(building=self.building)

    def get_filterset_kwargs(self, filterset_class):
        return {**super().get_filterset_kwargs(filterset_class), "building": self.building}

    def get_add_url(self):
        return reverse(self.add_url_name, args=[self.building.slug])

    def get_trail(self):
        return [self.building]

    def get_context_data(self, **kwargs):
        return super().get_context_data(
            building=self.building, may_change=self.request.user.role in STAFF_ROLES, **kwargs
        )


def position_context(request, pk):
    """What the page of a position shows of it; readings come from above (inspections.trends)."""
    positions = Position.objects.visible_to(request.user).select_related("building", "control_panel").with_wiring()
    position = get_object_or_404(positions, pk=pk)
    fittings = list(position.fittings.select_related("unit__product_model__maker", "fitted_by", "removed_by"))
    works_for_the_firm = request.user.role in STAFF_ROLES
    present = next((fitting for fitting in fittings if fitting.removed_on is None), None)
    return {
        "position": position,
        "building": position.building,
        "positions_page": PositionsOf(position.building),
        "run": run_of(position),
        "wired_to": wired_to(position),
        **_ports_of(position),
        "on_plan": PlanPlace.objects.of_its_storey()
        .filter(position=position, plan__is_in_force=True)
        .select_related("plan")
        .first(),
        "fittings": fittings,
        "present": present,
        **_told_apart(position, present),
        "may_change": works_for_the_firm,
        "changes": changes_of(position, leave_out=("row_version", "tag_key", "walking_order"))
        if works_for_the_firm
        else [],
    }


def _ports_of(position):
    """The run that it is on in a word, its entry in the panel's list, lines and inputs it is on or offers."""
    entry = None
    if position.data_link_id:
        entry = position.link_entries.select_related("confirmed_by").first()
    word = "Circuit" if position.facts.moves_vents else "Data link" if position.data_link_id else "Line"
    return {
        "run_word": word,
        "entry": entry,
        "on_inputs": [_name(one) for one in _in_order(position.input_ports)],
        "offers": [
            *((_name(line), reverse("line-loop", args=[line.pk])) for line in _in_order(position.lines_offered)),
            *(
                (_name(one), reverse("input-port-loop", args=[one.panel_id]) + f"?inputs={one.pk}")
                for one in _in_order(position.inputs_offered)
            ),
        ],
    }


def _in_order(records):
    return records.select_related("panel__position").order_by("number")


def _name(record):
    return f"{record} {record.name}".strip()


def _told_apart(position, present):
    """How many identical units the present unit has in the building, and the newest confirmation that it hangs here."""
    if present is None:
        return {"identical_units": 0, "confirmation": None}
    present.position = position  # read already
    return {
        "identical_units": identical_units_of(present).count(),
        "confirmation": present.place_confirmations.select_related("by").first(),
    }


@dataclass(frozen=True)
class PositionsOf:
    """The device list of a building, as a step of a trail."""

    building: Building

    def __str__(self):
        return "Positions"

    def get_absolute_url(self):
        return reverse("position-list", args=[self.building.slug])


class PositionCreateView(BuildingMixin, FormPage):
    roles = STAFF_ROLES
    form_class = PositionForm
    template_name = "zones/positions/position_form.html"
    heading = "Add a position"
    verb = "Add position"
    saved_message = "Position {record} added."
    can_add_another = True
    kept_fields = (
        "kind",
        "product_model",
        "storey",
        "room",
        "access_need",
        "smoke_zone",
        "vent_group",
        "panel",
        "actuator_circuit",
        "detection_line",
        "data_link",
    )

    def form_arguments(self):
        # Kind, zone and storey may stand in the address, so that a link can propose them.
        proposed = {
            name: self.request.GET[name] for name in ("kind", "smoke_zone", "storey") if name in self.request.GET
        }
        return {"building": self.building, "initial": proposed}

    def following(self, record):
        taken = record.building.positions.values_list("tag", flat=True)
        return {
            "tag": tag_after(record.tag, taken),
            "order_on_line": record.order_on_line and record.order_on_line + 1,
        }

    def get_trail(self, record):
        return [self.building, PositionsOf(self.building)]

    def get_back_url(self, record):
        return reverse("position-list", args=[self.building.slug])

    def perform(self, form):
        put_last_in_walk(form.instance)
        return form.save()


class PositionUpdateView(FormPage):
    roles = STAFF_ROLES
    form_class = PositionForm
    template_name = "zones/positions/position_form.html"
    verb = "Save position"
    saved_message = "Position {record} saved."

    def get_record(self):
        position = for_change(Position.objects.all(), self.request, pk=self.kwargs["pk"])
        self.stored_tag = position.tag  # the form puts the typed tag into the record
        return position

    def form_arguments(self):
        return {"building": self.record.building}

    def get_heading(self, record):
        return f"Change position {self.stored_tag}"

    def get_trail(self, record):
        return [record.building, PositionsOf(record.building), record]
