"""Tables of panels and zones."""

import django_tables2 as tables

from sites_registry.states import state_mark
from sites_registry.views.lists import CodeColumn, RegisterTable, number_column
from sites_registry.words import storey_name
from zones.design_check.free_areas import required_of
from zones.models import ControlPanel, SmokeZone

MISSING = state_mark("missing")


class PanelTable(RegisterTable):
    noun = "panels"
    tag = CodeColumn(accessor="tag", verbose_name="Panel", order_by=("position__tag_key",))
    model = tables.Column(accessor="position__product_model", verbose_name="Model", default=MISSING)
    storey = tables.Column(accessor="position__storey", verbose_name="Storey")
    place = tables.Column(accessor="position__place", verbose_name="Place")
    zones_count = number_column(verbose_name="Zones")
    circuits_count = number_column(verbose_name="Circuits")
    lines_count = number_column(verbose_name="Lines")
    batteries_count = tables.Column(verbose_name="Battery")
    wiring = tables.Column(empty_values=(), orderable=False, verbose_name="Terminals wired")
    holds = {"storey": "zone", "batteries_count": "state", "wiring": "state"}

    def __init__(self, *args, wiring, **kwargs):
        self.wiring = wiring  # the state of each panel by the key of its position
        super().__init__(*args, **kwargs)

    class Meta(RegisterTable.Meta):
        model = ControlPanel
        fields = ()
        order_by = ("tag",)

    def render_storey(self, value):
        return storey_name(value)

    def render_batteries_count(self, value):
        return state_mark("in_order", "recorded") if value else MISSING

    def render_wiring(self, record):
        state = self.wiring[record.position_id]
        return state_mark(state.state, f"{state.wired} of {state.needed}")


class ZoneTable(RegisterTable):
    noun = "zones"
    number = CodeColumn(verbose_name="Zone")
    name = tables.Column(verbose_name="Name")
    storey = tables.Column(verbose_name="Storey")
    panel = tables.Column(
        accessor="panel__tag", verbose_name="Panel", default=MISSING, order_by=("panel__position__tag_key",)
    )
    required_area_m2 = number_column(verbose_name="Required, m²", decimals=2, empty_values=())
    required_area_kind = tables.Column(verbose_name="Kind", empty_values=())
    vents_count = number_column(verbose_name="Vents")
    groups_count = number_column(verbose_name="Groups")
    positions_count = number_column(verbose_name="Positions")
    holds = {"storey": "zone", "panel": "tag", "required_area_kind": "kind"}

    class Meta(RegisterTable.Meta):
        model = SmokeZone
        fields = ()
        order_by = ("number",)

    def render_required_area_m2(self, record):
        area_m2 = required_of(record).area_m2
        return "" if area_m2 is None else f"{area_m2:.2f}"

    def render_required_area_kind(self, record):
        return required_of(record).kind or ""

    def render_storey(self, value):
        return storey_name(value)
