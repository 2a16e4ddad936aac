"""The start page of each role: what needs me now."""

from collections import Counter
from datetime import timedelta

from django.core.paginator import Paginator
from django.db.models import Count
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from inspections.certificates.standing import standing_of, with_standing
from inspections.headlines import worst_first
from inspections.home.first_steps import first_steps
from inspections.home.needs import needs_of_office
from inspections.models import Certificate, Defect, HandOver, LogEntry, Severity, Visit, VisitKind
from inspections.overview.page import visits_ahead
from inspections.visits.contradictions import visits_with_contradictions
from sites_registry.access import STAFF_ROLES, Role, for_roles
from sites_registry.models import Building, Firm, Job
from sites_registry.states import key_and_word
from zones.models import ProductModel

MOST_ROWS = 8
DUE_STATES = [key_and_word(key) for key in ("overdue", "due_soon", "never", "in_date")]


def home(request):
    pages = {Role.OFFICE: office_home, Role.ENGINEER: engineer_home, Role.MANAGER: manager_home}
    return pages[request.user.role](request)


def buildings_worst_first(user):
    """Every visible building with its headline, the worst first."""
    return worst_first(Building.objects.visible_to(user).with_client())


def counts_by_severity(defects):
    found = dict(defects.values_list("severity").annotate(number=Count("pk")).order_by())
    return [(value, label, found.get(value, 0)) for value, label in Severity.choices]


def planned_buildings(user):
    """By building: "under way", "planned" ahead, or "" where one was planned and not recorded as done.

    Who plans sees it, so that nobody plans a second one.
    """
    found, today = {}, timezone.localdate()
    for building_id, state, planned_on in (
        Visit.objects.visible_to(user).unfinished().values_list("building_id", "state", "planned_on")
    ):
        if state == Visit.State.UNDER_WAY:
            found[building_id] = "under way"
        elif planned_on >= today and found.get(building_id) != "under way":
            found[building_id] = "planned"
        else:
            found.setdefault(building_id, "")
    return found


def office_home(request):
    user, today = request.user, timezone.localdate()
    first = first_steps(user)
    if not first.has_building:
        return render(request, "inspections/home/home_first_steps.html", {"first": first})
    buildings = buildings_worst_first(user)
    planned = planned_buildings(user)
    due_rows = [(building, planned.get(building.pk)) for building in buildings if building.headline.needs_somebody]
    defects = Defect.objects.visible_to(user).open()
    late = (
        Visit.objects.visible_to(user).unfinished().filter(planned_on__lt=today).with_building().order_by("planned_on")
    )
    to_certify = uncertified(user)
    disabled = LogEntry.objects.visible_to(user).past_planned_end().select_related("building__client")
    to_certify_count = to_certify.count()
    context = {
        "needs": needs_of_office(
            due=Counter(building.headline.due.state for building in buildings),
            defects=counts_by_severity(defects),
            to_certify=to_certify_count,
            late_visits=late.count(),
            open_jobs=Job.objects.visible_to(user).open().count(),
            proposed_models=ProductModel.objects.visible_to(user).proposed().count(),
        ),
        "due_rows": due_rows[:MOST_ROWS],
        "due_more": max(0, len(due_rows) - MOST_ROWS),
        "defects": defects.worst_first().with_place()[:MOST_ROWS],
        "late_visits": late[:MOST_ROWS],
        "to_certify": to_certify[:MOST_ROWS],
        "to_certify_count": to_certify_count,
        "disabled": disabled[:MOST_ROWS],
        "coming": coming(Visit.objects.visible_to(user), today)[:MOST_ROWS],
        "contradicted": visits_with_contradictions(user)[:MOST_ROWS],
        "differing_models": ProductModel.objects.visible_to(user).with_differing_figures().count(),
    }
    return render(request, "inspections/home/home_office.html", context | {"first": first})


def uncertified(user):
    """Finished inspections and commissionings without a certificate, the drafts of the office, oldest first."""
    return (
        Visit.objects.visible_to(user)
        .finished()
        .filter(kind__in=[VisitKind.COMMISSIONING, VisitKind.INSPECTION])
        .exclude(pk__in=Certificate.objects.values("visit"))
        .with_building()
        .order_by("finished_at")
    )


def coming(visits, today):
    return (
        visits.filter(state=Visit.State.PLANNED, planned_on__gte=today, planned_on__lte=today + timedelta(days=14))
        .with_building()
        .order_by("planned_on", "building__name")
    )


def engineer_home(request):
    user, today = request.user, timezone.localdate()
    mine = Visit.objects.visible_to(user).assigned_to(user).with_building()
    unfinished = mine.unfinished().order_by("planned_on", "pk")
    context = {
        "today": today,
        "under_way": [visit for visit in unfinished if visit.state == Visit.State.UNDER_WAY],
        "late": [v for v in unfinished if v.state == Visit.State.PLANNED and v.planned_on < today],
        "todays": [v for v in unfinished if v.state == Visit.State.PLANNED and v.planned_on == today],
        "later": [v for v in unfinished if v.state == Visit.State.PLANNED and v.planned_on > today],
        "finished": mine.finished().order_by("-finished_at")[:5],
        "contradicted": visits_with_contradictions(user).assigned_to(user)[:MOST_ROWS],
    }
    week = today + timedelta(days=7)
    context["week"] = [
        {"name": f"{visit}, {visit.building}", "along_url": reverse("visit-taken-along", args=[visit.pk])}
        for visit in unfinished
        if visit.planned_on <= week
    ]
    context["is_empty"] = not unfinished and not Building.objects.visible_to(user).exists()
    return render(request, "inspections/home/home_engineer.html", context)


def manager_home(request):
    user = request.user
    visits, certificates, defects = {}, {}, {}
    for visit in Visit.objects.visible_to(user).unfinished().select_related("engineer").order_by("planned_on", "pk"):
        visits.setdefault(visit.building_id, []).append(visit)
    for certificate in with_standing(Certificate.objects.visible_to(user).in_force().defer("statement")):
        certificates.setdefault(certificate.building_id, []).append((certificate, standing_of(certificate)))
    for defect in Defect.objects.visible_to(user).open().worst_first().with_place():
        defects.setdefault(defect.building_id, []).append(defect)
    buildings = [
        {
            "building": building,
            **visits_ahead(visits.get(building.pk, [])),
            "certificates": certificates.get(building.pk, []),
            "defects": defects.get(building.pk, []),
        }
        for building in buildings_worst_first(user)
    ]
    disabled = (
        LogEntry.objects.visible_to(user).open_disablements().select_related("building").order_by("planned_end_at")
    )
    to_confirm = HandOver.objects.visible_to(user).filter(received_at=None).select_related("building", "to")
    context = {"buildings": buildings, "disabled": disabled, "now": timezone.now(), "to_confirm": to_confirm}
    if not buildings:
        context["firm"] = Firm.current()
    return render(request, "inspections/home/home_manager.html", context)


@for_roles(*STAFF_ROLES)
def due_list(request):
    """Every building, the worst first, for planning; filter and page stand in the address."""
    state, text = request.GET.get("state", ""), request.GET.get("q", "").strip().casefold()[:100]
    planned = planned_buildings(request.user)
    rows = [
        (building, planned.get(building.pk))
        for building in buildings_worst_first(request.user)
        if state in ("", building.headline.due.state) and text in f"{building.name} {building.client.name}".casefold()
    ]
    page = Paginator(rows, 50).get_page(request.GET.get("page"))
    context = {"page": page, "state_now": state, "states": DUE_STATES, "is_filtered": bool(state or text)}
    return render(request, "inspections/home/due_list.html", context)
