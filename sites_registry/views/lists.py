"""Lists: one table with filter, sort and page in the address, so that a view can be sent to a colleague."""

import django_tables2 as tables
from django.http import JsonResponse
from django.urls import reverse
from django.utils.html import format_html
from django_filters.views import FilterView

from sites_registry.access import Role, RoleMixin, VisibleMixin
from sites_registry.states import answer_mark, state_mark
from sites_registry.words import plain_number

AT_DESK = {"td": {"class": "at-desk"}}  # a column that a phone leaves to the record
FEWEST_ROWS, MOST_ROWS = 10, 200  # of one page
MOST_MARKS = 50  # of what takes long, in one request


class RegisterTable(tables.Table):
    """Base of all tables: the row is the link, sorted by `order_by` unless the address says otherwise."""

    noun = "rows"
    is_filtered = False
    grouped_by = ""  # the head of the column whose long runs fold on a phone
    # What a column holds, by its name, where its class does not say so: its width is that of its kind on every page.
    holds = {}

    class Meta:
        attrs = {"class": "rows"}
        row_attrs = {
            "data-href": lambda record: record.get_absolute_url() if hasattr(record, "get_absolute_url") else None
        }
        empty_text = "Nothing here yet."
        default = ""

    def __init__(self, *args, **kwargs):
        """A table without a Meta of its own has this one: the library takes none from the class above."""
        super().__init__(*args, row_attrs=self.Meta.row_attrs, default=self.Meta.default, **kwargs)

    @property
    def column_kinds(self):
        """ "tag", "date", "number" … of each column, as the style sheet knows them; "" for one that takes the rest."""
        return [self.holds.get(one.name) or _kind_of(one.column) for one in self.columns]

    @property
    def sorted_by(self):
        """The column that bears the arrow: the first of those that the rows are sorted by."""
        return self.order_by[0].bare if self.order_by else ""

    @property
    def order_by(self):
        return super().order_by

    @order_by.setter
    def order_by(self, value):
        """Sort by columns only: the address may say anything, and a dot means something else to the library."""
        names = value.split(",") if isinstance(value, str) else value or ()
        tables.Table.order_by.fset(self, [name for name in names if "." not in name])

    def paginate(self, *args, per_page=None, **kwargs):
        """Hold `per_page`, which anybody can write into the address, to what makes sense and one screen bears."""
        super().paginate(*args, per_page=per_page and min(max(per_page, FEWEST_ROWS), MOST_ROWS), **kwargs)


def _kind_of(column):
    return "date" if isinstance(column, tables.DateColumn) else getattr(column, "holds", "")


def number_column(*, decimals=None, **options):
    """A right-aligned quantity; put the unit into `verbose_name`. Without `decimals` it has no trailing zeros."""
    attributes = {"td": {"class": "number"}, "th": {"class": "number"}}
    return _NumberColumn(decimals=decimals, attrs=attributes, **options)


class _NumberColumn(tables.Column):
    holds = "number"

    def __init__(self, *, decimals, **options):
        super().__init__(**options)
        self.decimals = decimals

    def render(self, value):
        return plain_number(value) if self.decimals is None else f"{value:.{self.decimals}f}"


class CodeColumn(tables.Column):
    """A tag or serial in tabular type, linked to its record."""

    def __init__(self, *args, css="tag", **options):
        self.css = self.holds = css
        super().__init__(*args, linkify=options.pop("linkify", True), **options)

    def render(self, value):
        return format_html('<span class="{}">{}</span>', self.css, value)


class StateColumn(tables.Column):
    """Glyph + word + tone of a stored state."""

    holds = "state"

    def render(self, record, value, bound_column):
        return state_mark(getattr(record, bound_column.name, value), value)


def later_mark(key, known, url, of):
    """A mark that `limits.js` asks for once the list is shown; until then what is `known`, else the way to the check.

    Args:     known: (state, words) or None; url: where the check stands; of: of what, for who cannot see the row.
    """
    way = format_html('<a href="{}">check<span class="visually-hidden"> {}</span></a>', url, of)
    mark = answer_mark(*known) if known else state_mark("not_checked", way)
    return format_html('<span data-limits-of="{}">{}</span>', key, mark)


def marks_answer(keys, marks_of):
    """What `limits.js` is answered: marks by their keys. `marks_of(keys)` gives (state, words) by key."""
    if len(keys) > MOST_MARKS:
        sentence = f"{len(keys)} marks are asked for; ask for {MOST_MARKS} at most."
        return JsonResponse({"sentence": sentence}, status=400)
    return JsonResponse({key: answer_mark(*mark) for key, mark in marks_of(keys).items()})


class ListPage(RoleMixin, VisibleMixin, tables.SingleTableMixin, FilterView):
    """A list of visible records. Subclasses give `queryset`, `table_class`, `filterset_class`, `heading`.

    `template_name` extends templates/components/list_page.html (or is it), whose blocks take actions and empty states.
    """

    roles = tuple(Role)
    template_name = "components/list_page.html"
    paginate_by = 50
    strict = False
    heading = ""
    lead_line = ""
    add_url_name = None
    add_word = ""
    add_roles = (Role.OFFICE,)
    empty_text = "Nothing here yet."

    def paginate_queryset(self, queryset, page_size):
        """Leave paging to the table; a second pager would count twice and answer 404 to a page past the end."""
        return None, None, queryset, False

    def get_table(self, **kwargs):
        table = super().get_table(**kwargs)
        table.is_filtered = any(value for name, value in self.request.GET.items() if name not in ("page", "sort"))
        table.empty_text = self.empty_text
        return table

    def get_context_data(self, **kwargs):
        may_add = self.add_url_name and self.request.user.role in self.add_roles
        return super().get_context_data(
            heading=self.heading,
            lead_line=self.lead_line,
            add_word=self.add_word,
            add_url=self.get_add_url() if may_add else None,
            trail=self.get_trail(),
            **kwargs,
        )

    def get_add_url(self):
        return reverse(self.add_url_name)

    def get_trail(self):
        return []
