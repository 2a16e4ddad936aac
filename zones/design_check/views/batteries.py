"""All battery sets that are fitted now, by the day by which they are to be replaced."""

import django_filters
import django_tables2 as tables
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html, format_html_join
from django.views.decorators.http import require_safe

from sites_registry.spreadsheets import file_name_of, table_response
from sites_registry.states import state_mark
from sites_registry.views.lists import AT_DESK, CodeColumn, ListPage, RegisterTable, later_mark, marks_answer
from sites_registry.words import plain_number
from zones.design_basis.practice import current_practice
from zones.design_check.batteries import (
    STATES,
    battery_rows,
    is_due,
    limits_of_batteries,
    panels_without_battery,
)
from zones.models import BatterySet, ControlPanel, DeviceKind, ProductModel

PANELS_NAMED = 5
MOST_DIGITS = 18
SHEET_HEAD = [
    "Building",
    "Client",
    "Panel",
    "Maker",
    "Model",
    "Blocks",
    "Capacity of a block (Ah)",
    "Date code",
    "Batch",
    "Fitted on",
    "Age counted from",
    "Counted from the",
    "Age (years)",
    "Age known",
    "Replace by",
    "State",
]


class BatteryFilter(django_filters.FilterSet):
    due = django_filters.ChoiceFilter(label="Replacement", empty_label="all", method="left_to_the_rows")
    code = django_filters.CharFilter(label="Date code or batch", method="with_code", max_length=40)
    model = django_filters.ModelChoiceFilter(
        "product_model",
        label="Model",
        empty_label="all",
        null_label="not recorded",
        queryset=ProductModel.objects.with_maker().filter(kind=DeviceKind.BATTERY),
    )
    building = django_filters.CharFilter("panel__building__name", "icontains", label="Building", max_length=120)

    class Meta:
        model = BatterySet
        fields = []

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.filters["due"].extra["choices"] = [
            ("overdue", STATES["overdue"]),
            ("due_soon", STATES["due_soon"]),
            ("next_year", f"due in {timezone.localdate().year + 1}"),
            ("unknown", STATES["unknown"]),
        ]

    def left_to_the_rows(self, battery_sets, name, value):
        """A due date is computed from the date code, which no database can read."""
        return battery_sets

    def with_code(self, battery_sets, name, value):
        return battery_sets.filter(Q(date_code__icontains=value) | Q(batch__icontains=value))


class LimitsColumn(tables.Column):
    """Filled in afterwards: the design check takes longer than all else that a row shows."""

    holds = "mark"

    def __init__(self, **options):
        super().__init__(empty_values=(), orderable=False, **options)

    def render(self, record):
        check = reverse("panel-design-check", args=[record.panel.pk]) + "?severity=all"
        return later_mark(record.panel.pk, None, check, f"the battery of {record.panel.tag}, {record.building}")


class BatteryTable(RegisterTable):
    noun = "battery sets"
    building = tables.Column(verbose_name="Building, panel", order_by=("building__name", "panel__position__tag_key"))
    limits = LimitsColumn(verbose_name="Within limits")
    due_on = tables.Column(verbose_name="Replace by", attrs={"td": {"class": "standing brief"}})
    years = tables.Column(verbose_name="Age")
    model = tables.Column(accessor="battery__product_model", verbose_name="Model", orderable=False)
    blocks = tables.Column(accessor="battery__blocks", verbose_name="Blocks × Ah", orderable=False, attrs=AT_DESK)
    date_code = CodeColumn(
        accessor="battery__date_code", css="serial", linkify=False, verbose_name="Date code, batch", empty_values=()
    )
    holds = {"building": "kind", "model": "words", "blocks": "number", "date_code": "date"}

    class Meta(RegisterTable.Meta):
        fields = ()
        order_by = ("due_on",)
        default = "not known"

    def render_building(self, record):
        return format_html(
            '<a href="{}">{}</a> <a href="{}"><span class="tag">{}</span></a>',
            record.building.get_absolute_url(),
            record.building,
            record.get_absolute_url(),
            record.panel.tag,
        )

    def render_due_on(self, record, value):
        latest = format_html(' <span class="soft">{}</span>', "" if record.age.is_known else "at the latest")
        mark = state_mark(record.state, STATES[record.state])
        return format_html('{} <span class="nowrap">{}</span>{}', mark, value.strftime("%-d %b %Y"), latest)

    def render_blocks(self, record, value):
        capacity = f"{plain_number(record.capacity_ah)} Ah" if record.capacity_ah else "Ah not known"
        return f"{value} × {capacity}"

    def render_years(self, record):
        return format_html(
            '{}{} <span class="soft">{}</span>',
            "" if record.age.is_known else "not known, ",
            record.age_words,
            record.basis_words,
        )

    def render_date_code(self, record):
        codes = [code for code in (record.battery.date_code, record.battery.batch) if code]
        return format_html_join(" ", '<span class="serial">{}</span>', ((code,) for code in codes)) or "not known"


class BatteryListView(ListPage):
    queryset = BatterySet.objects.fitted()
    table_class = BatteryTable
    filterset_class = BatteryFilter
    template_name = "zones/design_check/battery_list.html"
    heading = "Batteries"
    empty_text = "No battery set is recorded yet. Record one on the page of its control panel."

    def get_rows(self):
        # A filter that was refused narrows nothing; the page says what was wrong with it.
        wanted = getattr(self.filterset.form, "cleaned_data", {}).get("due")
        rows, today = battery_rows(self.object_list), timezone.localdate()
        return [row for row in rows if is_due(row, wanted, today)] if wanted else rows

    def get_table_data(self):
        return self.get_rows()

    def get_context_data(self, **kwargs):
        panels = list(panels_without_battery(ControlPanel.objects.visible_to(self.request.user))[: PANELS_NAMED + 1])
        return super().get_context_data(
            service_years=current_practice().battery_service_years,
            panels=panels[:PANELS_NAMED],
            more_panels=len(panels) > PANELS_NAMED,
            **kwargs,
        )


@require_safe
def battery_limits(request):
    """The marks of `LimitsColumn` for the panels that the address names; what one may not see has none."""
    panels = ControlPanel.objects.visible_to(request.user)
    keys = [key for key in request.GET.getlist("panel") if key.isascii() and key.isdecimal() and len(key) < MOST_DIGITS]
    return marks_answer(keys, lambda keys: limits_of_batteries(panels.filter(pk__in=keys)))


class BatteryListExport(BatteryListView):
    """The rows of the list, all of them, as a file."""

    def render_to_response(self, context, **kwargs):
        name = file_name_of("Batteries", timezone.localdate())
        rows = [_sheet_row(row) for row in context["table"].data]
        return table_response(name=name, file_format=self.kwargs["file_format"], headings=SHEET_HEAD, rows=rows)


def _sheet_row(row):
    battery, model = row.battery, row.battery.product_model
    return [
        row.building.name,
        row.building.client.name,
        row.panel.tag,
        model.maker.name if model else "",
        model.name if model else "",
        battery.blocks,
        row.capacity_ah,
        battery.date_code,
        battery.batch,
        battery.fitted_on,
        row.age.since,
        str(row.age.basis),
        row.years,
        "yes" if row.age.is_known else "no, at least",
        row.due_on,
        STATES[row.state],
    ]
