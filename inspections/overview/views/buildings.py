"""The list of buildings with the four answers of each: what is known of them lies in all three apps."""

import django_tables2 as tables
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_safe

from inspections.headlines import worst_first
from inspections.overview.answers import plural
from inspections.overview.marks import limits_of, marks_of
from sites_registry.models import Building
from sites_registry.states import answer_mark
from sites_registry.views.buildings import BuildingList, BuildingTable
from sites_registry.views.lists import later_mark, marks_answer


class MarkColumn(tables.Column):
    """One of the answers, as a mark."""

    holds = "mark"

    def __init__(self, **options):
        super().__init__(empty_values=(), orderable=False, **options)

    def render(self, record, bound_column):
        return answer_mark(*getattr(record.marks, bound_column.name))


class LimitsColumn(MarkColumn):
    """Filled in afterwards: the design check takes longer than all else that a row shows."""

    def render(self, record):
        check = reverse("building-design-check", args=[record.slug])
        return later_mark(record.slug, record.marks.limits, check, f"the design of {record}")


class BuildingStateTable(BuildingTable):
    fitted = MarkColumn()
    limits = LimitsColumn(verbose_name="Within limits")
    tested = MarkColumn(verbose_name="Last test")
    state = tables.Column(
        verbose_name="Due", accessor="headline", order_by="headline__rank", attrs={"td": {"class": "standing"}}
    )

    use = tables.Column(order_by=("use", "storeys"))

    holds = {"name": "zone", "limits": "kind", "client": "name", "use": "name", "tested": "state"}

    class Meta(BuildingTable.Meta):
        sequence = ("name", "fitted", "limits", "tested", "state", "...")
        exclude = ("storeys",)  # said with the use
        order_by = "state"

    def render_state(self, value):
        return render_to_string("inspections/overview/_headline.html", {"headline": value})

    def render_use(self, record, value):
        if record.storeys is None:
            return value
        storeys = plural(record.storeys, "storey").replace(" ", "\N{NO-BREAK SPACE}")
        return f"{value}, {storeys}"


class BuildingStateList(BuildingList):
    """Every visible building, the worst first."""

    table_class = BuildingStateTable
    template_name = "inspections/overview/building_list.html"
    lead_line = (
        "Worst first: open defects, what is out of service, inspections due. "
        "Within limits: the design check, and the readings of the last visits."
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


@require_safe
def building_limits(request):
    """The marks of `LimitsColumn` for the buildings that the address names, by slug; what one may not see has none."""
    buildings = Building.objects.visible_to(request.user)
    slugs = [slug for slug in request.GET.getlist("building") if "\0" not in slug]  # which a database refuses
    return marks_answer(slugs, lambda slugs: limits_of(buildings.filter(slug__in=slugs)))
