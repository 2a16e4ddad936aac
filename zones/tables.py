"""Tables of panels, zones and cables."""

import django_tables2 as tables

from sites_registry.views.lists import CodeColumn, RegisterTable, number_column
from zones.models import Cable, ControlPanel, SmokeZone


class PanelTable(RegisterTable):
    noun = "panels"
    tag = CodeColumn(accessor="tag", verbose_name="Panel", order_by=("position__tag_key",))
    model = tables.Column(accessor="position__product_model", verbose_name="Model", default="missing")
    storey = tables.Column(accessor="position__storey", verbose_name="Storey", default="–")
    place = tables.Column(accessor="position__place", verbose_name="Place", default="–")
    zones_count = number_column(verbose_name="Zones")
    circuits_count = number_column(verbose_name="Circuits")
    lines_count = number_column(verbose_name="Lines")
    batteries_count = tables.Column(verbose_name="Battery")

    class Meta(RegisterTable.Meta):
        model = ControlPanel
        fields = ()
        order_by = ("tag",)

    def render_batteries_count(self, value):
        return "recorded" if value else "missing"


class ZoneTable(RegisterTable):
    noun = "zones"
    number = CodeColumn(verbose_name="Zone")
    name = tables.Column(verbose_name="Name")
    storey = tables.Column(verbose_name="Storey", default="–")
    panel = tables.Column(accessor="panel__tag", verbose_name="Panel", default="missing")
    required_area_m2 = number_column(verbose_name="Required area (m²)", default="–")
    required_area_kind = tables.Column(verbose_name="Kind", default="–")
    vents_count = number_column(verbose_name="Vents")
    groups_count = number_column(verbose_name="Groups")
    positions_count = number_column(verbose_name="Positions")

    class Meta(RegisterTable.Meta):
        model = SmokeZone
        fields = ()
        order_by = ("number",)


class CableTable(RegisterTable):
    noun = "cables"
    tag = CodeColumn(verbose_name="Cable")
    cable_type = tables.Column(verbose_name="Type", default="–")
    cores_count = number_column(verbose_name="Cores", default="–")
    area_mm2 = number_column(verbose_name="Area (mm²)", default="–")
    length_m = number_column(verbose_name="Length (m)", default="–")
    from_place = tables.Column(verbose_name="From", default="–")
    to_place = tables.Column(verbose_name="To", default="–")
    fire_rating = tables.Column(verbose_name="Fire rating", default="–")
    recorded_count = number_column(verbose_name="Cores recorded")

    class Meta(RegisterTable.Meta):
        model = Cable
        fields = ()
        order_by = ("tag",)
