"""Table of cables."""

import django_tables2 as tables
from django.utils.safestring import mark_safe

from sites_registry.views.lists import CodeColumn, RegisterTable, number_column
from zones.models import Cable

NONE = mark_safe('<b class="none">–</b>')


class CableTable(RegisterTable):
    noun = "cables"
    # Shorter tags first: W2 before W12.
    tag = CodeColumn(verbose_name="Cable", order_by=("tag_length", "tag"))
    cable_type = tables.Column(verbose_name="Type", default=NONE)
    cores_count = number_column(verbose_name="Cores", default=NONE)
    area_mm2 = number_column(verbose_name="Area (mm²)", default=NONE)
    length_m = number_column(verbose_name="Length (m)", default=NONE)
    from_place = tables.Column(verbose_name="From", default=NONE)
    to_place = tables.Column(verbose_name="To", default=NONE)
    fire_rating = tables.Column(verbose_name="Fire rating", default=NONE)
    recorded_count = number_column(verbose_name="Cores recorded")

    class Meta(RegisterTable.Meta):
        model = Cable
        fields = ()
        order_by = ("tag",)
