"""The list of buildings with the state of each: what is known of them lies in all three apps."""

import django_tables2 as tables
from django.utils.html import format_html_join

from inspections.headlines import worst_first
from sites_registry.states import state_mark
from sites_registry.views.buildings import BuildingList, BuildingTable


class BuildingStateTable(BuildingTable):
    state = tables.Column(accessor="headline", order_by="headline__rank", attrs={"td": {"class": "standing"}})

    class Meta(BuildingTable.Meta):
        sequence = ("name", "state", "...")
        order_by = "state"

    def render_state(self, value):
        return format_html_join(" · ", "{}", ((state_mark(state, words),) for state, words in value.marks))


class BuildingStateList(BuildingList):
    """Every visible building, the worst first."""

    table_class = BuildingStateTable
    lead_line = "Worst first: open defects, what is out of service, inspections due."

    def get_table_data(self):
        return worst_first(self.object_list)
