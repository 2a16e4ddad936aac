"""The log book of a building: read it, write in it, take it away."""

from datetime import datetime, time
from functools import reduce
from operator import itemgetter, or_

import django_filters
import django_tables2 as tables
from dateutil.relativedelta import relativedelta
from django.contrib import messages
from django.db.models import Q
from django.forms.models import model_to_dict
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.views.decorators.http import require_safe

from inspections.defects.put_right import put_right_lately
from inspections.log_book.entries import correct_entry, end_entry, write_entry
from inspections.log_book.forms import FIELDS_OF_KIND, EndEntryForm, LogEntryForm
from inspections.log_book.rota import call_points_by_rota, check_of_this_week, users_checks
from inspections.models import Defect, LogEntry
from sites_registry.access import Role
from sites_registry.forms.days import DayFilter
from sites_registry.models import Building
from sites_registry.spreadsheets import file_name_of, table_response
from sites_registry.states import state_mark
from sites_registry.views.base import FormPage, TrailPage
from sites_registry.views.lists import ListPage, RegisterTable


def building_of(request, slug):
    return get_object_or_404(Building.objects.visible_to(request.user), slug=slug)


def book_of(building):
    """The log book's place in a trail."""
    return TrailPage("Log book", reverse("log-book", args=[building.slug]))


def entry_of(request, slug, pk):
    entries = LogEntry.objects.visible_to(request.user).with_links()
    return get_object_or_404(entries, building__slug=slug, pk=pk)


class LogEntryFilter(django_filters.FilterSet):
    kind = django_filters.ChoiceFilter(label="Kind", choices=LogEntry.Kind.choices, empty_label="all")
    since = DayFilter(label="From", method="since_day")
    until = DayFilter(label="To", method="until_day")
    text = django_filters.CharFilter(label="Text", method="with_text")

    class Meta:
        model = LogEntry
        fields = []

    moment = "happened_at"
    texts = ("what", "cause", "action", "seen_by", "position__tag")

    # Compared as moments, so that the index on building and moment serves; a day is one of the firm's time zone.
    def since_day(self, rows, name, value):
        return rows.filter(**{f"{self.moment}__gte": timezone.make_aware(datetime.combine(value, time.min))})

    def until_day(self, rows, name, value):
        return rows.filter(**{f"{self.moment}__lte": timezone.make_aware(datetime.combine(value, time.max))})

    def with_text(self, rows, name, value):
        return rows.filter(reduce(or_, (Q(**{f"{text}__icontains": value}) for text in self.texts)))


class PutRightFilter(LogEntryFilter):
    """The same choice of faults that the visit which found them put right; no kind of entry takes them in."""

    kind = django_filters.ChoiceFilter(choices=LogEntry.Kind.choices, method="of_no_kind")
    moment = "found_at"
    texts = ("description", "closing_note", "interim_measure", "found_by__full_name", "position__tag")

    class Meta:
        model = Defect
        fields = []

    def of_no_kind(self, defects, name, value):
        return defects.none()


NOWRAP = {"td": {"class": "nowrap"}}


class LogEntryTable(RegisterTable):
    noun = "entries"
    happened_at = tables.DateTimeColumn(verbose_name="When", format="j M Y, H:i", linkify=True, attrs=NOWRAP)
    kind = tables.Column()
    what = tables.Column(orderable=False)
    place = tables.Column(verbose_name="Where", empty_values=(), orderable=False)
    seen_by = tables.Column(verbose_name="Who", attrs=NOWRAP)
    state = tables.Column(empty_values=(), orderable=False)

    class Meta(RegisterTable.Meta):
        order_by = "-happened_at"
        row_attrs = {
            **RegisterTable.Meta.row_attrs,
            "class": lambda record: "struck" if record.is_corrected else None,
        }

    def render_what(self, record):
        parts = [record.what]
        if record.cause:
            parts.append(f"Cause: {record.cause}")
        if record.kind == LogEntry.Kind.DISABLEMENT:
            end = timezone.localtime(record.planned_end_at)
            parts.append(f"Planned end {end:%-d %b %Y, %H:%M}; meanwhile: {record.interim_measure}")
        if record.ended_at:
            parts.append(f"Ended {timezone.localtime(record.ended_at):%-d %b %Y, %H:%M}: {record.ending_note}")
        return format_html('<span class="prose">{}</span>', "\n".join(parts))

    def render_place(self, record):
        return " · ".join(str(part) for part in (record.position, record.smoke_zone) if part)

    def render_state(self, record):
        if record.is_corrected:
            return state_mark("corrected")
        if record.state:
            return state_mark(record.state)
        if record.check_result:
            return state_mark(record.check_result)
        return "corrects an entry" if record.corrects_id else ""


class LogBook(ListPage):
    queryset = LogEntry.objects.with_links()
    table_class = LogEntryTable
    filterset_class = LogEntryFilter
    template_name = "inspections/log_book/log_book.html"
    heading = "Log book"
    lead_line = (
        "The building's own dated entries. Nothing here is changed or taken out; a correction is a further entry."
    )
    add_url_name = "log-entry-create"
    add_word = "Write an entry"
    add_roles = tuple(Role)
    empty_text = "Nothing is written yet. Start with this week's check: one call point, and what moved."

    def get_queryset(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        return super().get_queryset().filter(building=self.building)

    def get_add_url(self):
        return reverse(self.add_url_name, args=[self.building.slug])

    def get_trail(self):
        return [self.building]

    def get_context_data(self, **kwargs):
        entries = LogEntry.objects.filter(building=self.building)
        lasting = [*entries.open_disablements().with_links(), *entries.open_faults().with_links()]
        return super().get_context_data(
            building=self.building,
            lasting=lasting,
            false_alarm_count=entries.false_alarms().filter(happened_at__gte=_twelve_months_ago()).count(),
            check_this_week=check_of_this_week(self.building),
            next_call_point=call_points_by_rota(self.building).first(),
            users_checks=users_checks(self.building),
            put_right=put_right_lately(self.building),
            **kwargs,
        )


def _twelve_months_ago():
    return timezone.now() - relativedelta(months=12)


@require_safe
def log_entry_detail(request, slug, pk):
    entry = entry_of(request, slug, pk)
    return render(
        request,
        "inspections/log_book/log_entry_detail.html",
        {"entry": entry, "building": entry.building, "book": book_of(entry.building)},
    )


class _EntryPage(FormPage):
    """Who sees a building may write in its log book: its managers, the office, the engineers."""

    roles = tuple(Role)
    form_class = LogEntryForm
    template_name = "inspections/log_book/log_entry_form.html"

    def get_trail(self, record):
        return [record.building, book_of(record.building)]

    def get_back_url(self, record):
        return reverse("log-book", args=[record.building.slug])

    def success_url(self, record):
        return reverse("log-book", args=[self.record.building.slug])

    def get_context(self, form):
        next_call_point = call_points_by_rota(self.record.building).first()
        return super().get_context(form) | {
            "fields_of_kind": FIELDS_OF_KIND,
            "proposed_position": next_call_point and next_call_point.pk,
        }


class LogEntryCreate(_EntryPage):
    heading = "Write in the log book"
    verb = "Write the entry"

    def get_record(self):
        return LogEntry(building=building_of(self.request, self.kwargs["slug"]), entered_by=self.request.user)

    def form_arguments(self):
        kind = self.request.GET.get("kind", "")
        initial = {"happened_at": timezone.localtime(), "seen_by": self.request.user.full_name, "kind": kind}
        if kind == LogEntry.Kind.WEEKLY_CHECK:
            initial["position"] = call_points_by_rota(self.record.building).values_list("pk", flat=True).first()
        return {"initial": initial}

    def perform(self, form):
        return write_entry(building=self.record.building, entered_by=self.request.user, **form.entry_data())

    def announce(self, record):
        messages.success(self.request, f"Written: {record.get_kind_display()}.")
        if record.check_result == LogEntry.CheckResult.NOT_IN_ORDER:
            url = f"{reverse('log-entry-create', args=[record.building.slug])}?kind=fault"
            sentence = 'The check was not in order. <a href="{}">Write the fault</a> and tell the firm.'
            messages.warning(self.request, format_html(sentence, url))


class LogEntryCorrect(_EntryPage):
    heading = "Correct an entry"
    lead_line = "The first entry stays in the book, struck through. What you write here stands in its place."
    verb = "Write the correction"
    saved_message = "The correction is written; the first entry stays, struck through."

    def get_record(self):
        self.entry = entry_of(self.request, self.kwargs["slug"], self.kwargs["pk"])
        return LogEntry(building=self.entry.building, entered_by=self.request.user, corrects=self.entry)

    def get_trail(self, record):
        return [self.entry.building, book_of(self.entry.building), self.entry]

    def get_back_url(self, record):
        return self.entry.get_absolute_url()

    def form_arguments(self):
        return {"initial": model_to_dict(self.entry, LogEntryForm.Meta.fields)}

    def perform(self, form):
        return correct_entry(entry=self.entry, entered_by=self.request.user, **form.entry_data())


class LogEntryEnd(FormPage):
    roles = tuple(Role)
    form_class = EndEntryForm
    verb = "Note the end"
    saved_message = "The end is noted."

    def get_record(self):
        self.entry = entry_of(self.request, self.kwargs["slug"], self.kwargs["pk"])
        return self.entry

    def make_form(self, **bound):
        return EndEntryForm(bound.get("data"))

    def get_heading(self, record):
        return f"End of the {record.get_kind_display()}"

    def get_lead_line(self, record):
        return record.what

    def get_trail(self, record):
        return [record.building, book_of(record.building), record]

    def perform(self, form):
        return end_entry(entry=self.entry, ended_by=self.request.user, **form.cleaned_data)

    def success_url(self, record):
        return reverse("log-book", args=[self.entry.building.slug])


def _filtered(request, slug):
    """The building, its entries and the faults that were put right where found, oldest first, as they were chosen."""
    building = building_of(request, slug)
    entries = LogEntry.objects.filter(building=building).with_links().order_by("happened_at", "pk")
    put_right = Defect.objects.filter(building=building).put_right_where_found().with_all_of_it()
    return (
        building,
        LogEntryFilter(request.GET, entries, request=request).qs,
        PutRightFilter(request.GET, put_right.order_by("found_at", "pk"), request=request).qs,
    )


@require_safe
def log_book_print(request, slug):
    """All entries of the filter on plain sheets, oldest first, for the binder."""
    building, entries, put_right = _filtered(request, slug)
    context = {
        "building": building,
        "entries": entries,
        "put_right": put_right,
        "printed_at": timezone.now(),
        "book": book_of(building),
    }
    return render(request, "inspections/log_book/log_book_print.html", context)


HEAD = (
    "When",
    "Kind",
    "Zone",
    "Device",
    "What happened",
    "Result",
    "Cause",
    "What was done",
    "Planned end",
    "Meanwhile",
    "Who was told",
    "Who",
    "Ended at",
    "Ended by",
    "How it ended",
    "Entered by",
    "Entered at",
    "Entry",
    "Corrects entry",
    "Corrected by entry",
)


@require_safe
def log_book_csv(request, slug):
    building, entries, put_right = _filtered(request, slug)
    dated = [(entry.happened_at, _row(entry)) for entry in entries]
    dated += [(defect.found_at, _row_of_put_right(defect)) for defect in put_right]
    return table_response(
        name=file_name_of(building.name, "log-book", timezone.localdate()),
        file_format="csv",
        headings=HEAD,
        rows=[row for _, row in sorted(dated, key=itemgetter(0))],
    )


def _row(entry):
    return [
        _stamp(entry.happened_at),
        entry.get_kind_display(),
        str(entry.smoke_zone or ""),
        str(entry.position or ""),
        entry.what,
        entry.get_check_result_display(),
        entry.cause,
        entry.action,
        _stamp(entry.planned_end_at),
        entry.interim_measure,
        entry.told_to,
        entry.seen_by,
        _stamp(entry.ended_at),
        str(entry.ended_by or ""),
        entry.ending_note,
        str(entry.entered_by),
        _stamp(entry.entered_at),
        entry.pk,
        entry.corrects_id or "",
        entry.corrected_by.pk if entry.is_corrected else "",
    ]


def _row_of_put_right(defect):
    """A fault that its own visit put right, in the columns of an entry; it is a defect, so it has no entry's number."""
    return [
        _stamp(defect.found_at),
        "found and put right on the same visit",
        "",
        str(defect.position or ""),
        defect.description,
        "",
        "",
        defect.closing_note,
        "",
        defect.interim_measure,
        defect.told_to,
        str(defect.found_by),
        _stamp(defect.closed_at),
        str(defect.closed_by.recorded_by),
        defect.closing_note,
        "",
        "",
        "",
        "",
        "",
    ]


def _stamp(moment):
    return f"{timezone.localtime(moment):%Y-%m-%d %H:%M}" if moment else ""
