"""Table of cables."""

import django_tables2 as tables

from sites_registry.views.lists import CodeColumn, RegisterTable, number_column
from zones.models import Cable


class CableTable(RegisterTable):
    noun = "cables"
    # Shorter tags first: W2 before W12.
    tag = CodeColumn(verbose_name="Cable", order_by=("tag_length", "tag"))
    cable_type = tables.Column(verbose_name="Type")
    cores_count = number_column(verbose_name="Cores")
    area_mm2 = number_column(verbose_name="Area, mm²")
    length_m = number_column(verbose_name="Length, m")
    from_place = tables.Column(verbose_name="From")
    to_place = tables.Column(verbose_name="To")
    fire_rating = tables.Column(verbose_name="Fire rating")
    recorded_count = number_column(verbose_name="Cores recorded")
    holds = {"cable_type": "kind", "fire_rating": "date"}

    class Meta(RegisterTable.Meta):
        model = Cable
        fields = ()
        order_by = ("tag",)
