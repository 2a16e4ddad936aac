"""Visits in the office: list, one visit, plan, change, call off."""

import django_filters
import django_tables2 as tables
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspections.certificates.issue import CERTIFIABLE
from inspections.certificates.standing import standing_of, with_standing
from inspections.competence.needs import said_of
from inspections.instruments.calibration import instruments_in_words
from inspections.models import Defect, Outcome, Severity, Visit, VisitKind
from inspections.settings_found.compared import compared_on
from inspections.test_points.extent import asked_in_words, would_ask_in_words
from inspections.visit_pages.forms import CallOffForm, PlanVisitForm, VisitForm
from inspections.visit_pages.results import day_and_person, rows_of
from inspections.visits.contradictions import contradictions_of
from inspections.visits.edits import call_off_visit, next_visit_on, plan_visit, positions_not_asked
from inspections.visits.others import answers_of_others
from inspections.visits.views.field import visit_of
from sites_registry.documents.signatures import paths_of
from sites_registry.forms.days import DayFilter
from sites_registry.models import Building, Person
from sites_registry.row_groups import in_groups
from sites_registry.states import state_mark
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import AT_DESK, CodeColumn, ListPage, RegisterTable
from zones.editing.pages import building_of

POINTS_PER_PAGE = 100
PHOTOS_PER_PAGE = 60


class VisitTable(RegisterTable):
    noun = "visits"
    holds = {"building": "name", "client": "name", "kind": "kind", "engineer": "kind", "points": "number"}
    planned_on = tables.DateColumn(verbose_name="Date", format="j M Y", linkify=True, attrs={"td": {"class": "nowrap"}})
    building = tables.Column(order_by="building__name", attrs={"td": {"class": "key"}})
    client = tables.Column(accessor="building__client", order_by="building__client__name", attrs=AT_DESK)
    kind = tables.Column()
    engineer = tables.Column(default="not decided", order_by="engineer__full_name")
    state = tables.Column(attrs={"td": {"class": "standing"}})
    points = tables.Column(
        verbose_name="Points done",
        empty_values=(),
        order_by=("done", "total"),
        attrs={"td": {"class": "number"}, "th": {"class": "number"}},
    )

    def render_state(self, record, value):
        if record.state == Visit.State.PLANNED and record.planned_on < timezone.localdate():
            return state_mark("missed", record.missed_words)
        return state_mark(record.state, value)

    def render_points(self, record):
        return f"{record.done} / {record.total}" if record.total else ""


class BuildingVisitTable(VisitTable):
    """The visits of one building; each leads to its job too, which a manager does not see."""

    holds = {**VisitTable.holds, "job": "serial"}
    job = CodeColumn(order_by="job__number")

    class Meta(VisitTable.Meta):
        exclude = ("building", "client")
        sequence = ("planned_on", "kind", "job", "...")

    def before_render(self, request):
        if not request.user.works_for_the_firm:
            self.columns.hide("job")


class VisitFilter(django_filters.FilterSet):
    building = django_filters.CharFilter(label="Building or client", method="by_building", max_length=100)
    state = django_filters.ChoiceFilter(choices=Visit.State.choices, empty_label="all")
    kind = django_filters.ChoiceFilter(choices=VisitKind.choices, empty_label="all")
    engineer = django_filters.ModelChoiceFilter(
        queryset=lambda request: Person.objects.visible_to(request.user).engineers(), empty_label="all"
    )
    planned_from = DayFilter("planned_on", "gte", label="From")
    planned_to = DayFilter("planned_on", "lte", label="To")

    class Meta:
        model = Visit
        fields = []

    def by_building(self, visits, name, text):
        return visits.filter(Q(building__name__icontains=text) | Q(building__client__name__icontains=text))


class BuildingVisitFilter(VisitFilter):
    building = None  # the page is of one


class VisitList(ListPage):
    template_name = "inspections/visit_pages/visit_list.html"
    queryset = Visit.objects.with_building().with_progress().soonest_first()
    table_class = VisitTable
    filterset_class = VisitFilter
    heading = "Visits"
    add_url_name = "visit-create"
    add_word = "Plan a visit"
    empty_text = "No visits yet. The office plans the first one."


class BuildingVisits(VisitList):
    """The visits of one building, on a page beside its others."""

    table_class = BuildingVisitTable
    filterset_class = BuildingVisitFilter
    empty_text = "No visit of this building yet. The office plans the first one."

    def get_queryset(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        return super().get_queryset().filter(building=self.building)

    def get_add_url(self):
        return f"{super().get_add_url()}?building={self.building.slug}"

    def get_trail(self):
        return [self.building]


@require_GET
def visit_detail(request, pk):
    visit = visit_of(request, pk)
    points = visit.test_points.aggregate(
        total=Count("pk"),
        done=Count("latest_result"),
        **{value: Count("pk", filter=Q(latest_result__outcome=value)) for value in Outcome.values},
    )
    compared = compared_on(visit)
    certificates = [(one, standing_of(one)) for one in with_standing(visit.certificates.all())]
    context = {
        "visit": visit,
        "building": visit.building,
        "points": points,
        "outcomes": Outcome.choices,
        "defects_found": visit.defects_found.select_related("position").with_closing().worst_first(),
        "defects_open": Defect.objects.open()
        .filter(building=visit.building)
        .exclude(found_on=visit)
        .select_related("position", "found_on")
        .worst_first(),
        "certificates": certificates,
        "to_certify": visit.state == Visit.State.FINISHED and visit.kind in CERTIFIABLE and not certificates,
        "compared": compared,
        "contradictions": contradictions_of(visit),
        "others": answers_of_others(visit),
        "asked": _asked(visit),
        "instruments": instruments_in_words(visit),
        "said": said_of(visit) if request.user.works_for_the_firm else [],
        "not_compared": [one for one in compared if not one.entries],
        "not_asked": positions_not_asked(visit).count() if visit.is_open_for_results else 0,
        **_results_of(request, visit),
        **_photos_of(request, visit),
        **_sign_off_of(visit),
    }
    context["has_impaired"] = any(one.severity == Severity.IMPAIRED and one.is_open for one in context["defects_found"])
    return render(request, "inspections/visit_pages/visit_detail.html", context)


def _asked(visit):
    """How much it asks, or would ask if it were started today; empty where it asks everything."""
    if visit.state == Visit.State.PLANNED:
        return would_ask_in_words(visit, next_visit_on(visit, timezone.localdate()))
    return asked_in_words(visit)


def _results_of(request, visit):
    """One page of the visit's test points; `?outcome=` shows those of one outcome, or the open ones."""
    outcome = request.GET.get("outcome", "")
    points = (
        visit.test_points.select_related("position", "latest_result__recorded_by")
        .with_reading_before()
        .in_walking_order()
    )
    if outcome == "open":
        points = points.without_outcome()
    elif outcome in Outcome.values:
        points = points.filter(latest_result__outcome=outcome)
    else:
        outcome = ""
    page = Paginator(points, POINTS_PER_PAGE).get_page(request.GET.get("page"))
    return {"page": page, "rows": in_groups(rows_of(page), day_and_person), "outcome": outcome}


def _photos_of(request, visit):
    """One page of the visit's photographs, by `?photos=`, and those that were withdrawn."""
    photos = visit.photos.visible_to(request.user).for_list().in_walking_order()
    page = Paginator(photos.standing(), PHOTOS_PER_PAGE).get_page(request.GET.get("photos"))
    return {"photos": page, "withdrawn": list(photos.withdrawn())}


def _sign_off_of(visit):
    sign_off = getattr(visit, "sign_off", None)
    drawn = sign_off and sign_off.signature
    return {"sign_off": sign_off, "signature_paths": paths_of(drawn) if drawn else []}


class VisitCreate(FormPage):
    form_class = PlanVisitForm
    heading = "Plan a visit"
    verb = "Plan the visit"
    saved_message = "Visit planned."

    def form_arguments(self):
        slug = self.request.GET.get("building", "")[:80].replace("\x00", "")
        building = Building.objects.visible_to(self.request.user).filter(slug=slug).first()
        kind = self.request.GET.get("kind", "")
        initial = {
            "building": building and building.pk,
            "kind": kind if kind in VisitKind.values else VisitKind.INSPECTION,
        }
        return {"user": self.request.user, "initial": initial}

    def get_back_url(self, record):
        return reverse("visit-list")

    def perform(self, form):
        try:
            fields = {name: value for name, value in form.cleaned_data.items() if name != "seen_version"}
            return plan_visit(**fields)
        except ValidationError as error:
            form.add_error(None, error.messages)


class VisitUpdate(FormPage):
    form_class = VisitForm

    def get_record(self):
        return for_change(Visit.objects.select_related("building"), self.request, pk=self.kwargs["pk"])

    def form_arguments(self):
        return {"user": self.request.user}

    def get_heading(self, record):
        return f"Change {str(record).lower()}, {record.building}"

    def get_trail(self, record):
        return [record.building, record]

    def perform(self, form):
        if form.instance.state not in (Visit.State.PLANNED, Visit.State.UNDER_WAY):
            form.add_error(None, f"{form.instance} is {form.instance.get_state_display()} and cannot be changed.")
            return form.instance
        return form.save()


class VisitCallOff(FormPage):
    form_class = CallOffForm
    verb = "Call the visit off"
    is_grave = True
    saved_message = "Visit called off."

    def get_record(self):
        self.visit = visit_of(self.request, self.kwargs["pk"])
        return None

    def get_heading(self, record):
        return f"Call off {str(self.visit).lower()}, {self.visit.building}"

    def get_back_url(self, record):
        return self.visit.get_absolute_url()

    def get_trail(self, record):
        return [self.visit.building, self.visit]

    def perform(self, form):
        return call_off_visit(visit=self.visit, called_off_by=self.request.user, **form.cleaned_data)
