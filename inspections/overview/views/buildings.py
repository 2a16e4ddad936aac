"""The list of buildings with the four answers of each: what is known of them lies in all three apps."""

import django_tables2 as tables
from django.utils.html import format_html, format_html_join

from inspections.headlines import worst_first
from inspections.overview.marks import marks_of
from sites_registry.states import Tone, state_mark, state_of
from sites_registry.views.buildings import BuildingList, BuildingTable


class MarkColumn(tables.Column):
    """One of the answers: its mark, with words where not all is well; they are always there to be read out."""

    holds = "number"  # a mark, or two words

    def __init__(self, **options):
        super().__init__(empty_values=(), orderable=False, **options)

    def render(self, record, bound_column):
        state, words = getattr(record.marks, bound_column.name)
        if state_of(state).tone is not Tone.GOOD:
            return state_mark(state, words)
        return format_html(
            '<span class="mark" title="{}">{}</span>',
            words,
            state_mark(state, format_html('<span class="visually-hidden">{}</span>', words)),
        )


class BuildingStateTable(BuildingTable):
    fitted = MarkColumn()
    readings = MarkColumn()
    tested = MarkColumn(verbose_name="Last test")
    state = tables.Column(
        verbose_name="Defects and dates",
        accessor="headline",
        order_by="headline__rank",
        attrs={"td": {"class": "standing"}},
    )

    holds = {"name": "zone", "client": "zone", "use": "kind", "tested": "state"}

    class Meta(BuildingTable.Meta):
        sequence = ("name", "state", "fitted", "readings", "tested", "...")
        order_by = "state"

    def render_state(self, value):
        return format_html_join(" · ", "{}", ((state_mark(state, words),) for state, words in value.marks))


class BuildingStateList(BuildingList):
    """Every visible building, the worst first."""

    table_class = BuildingStateTable
    lead_line = (
        "Worst first: open defects, what is out of service, inspections due. "
        "Readings are those of the last visits; the design check stands on the page of each building."
    )

    def get_table_data(self):
        return worst_first(self.object_list)

    def get_table(self, **kwargs):
        """Mark the rows of this page only: sorting needs none of it."""
        table = super().get_table(**kwargs)
        shown = [row.record for row in table.paginated_rows]
        marks = marks_of(shown)
        for building in shown:
            building.marks = marks[building.pk]
        return table
