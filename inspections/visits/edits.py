"""Visits: plan, start with its test points, finish, call off."""

from contextlib import suppress

from django.db import transaction
from django.utils import timezone

from inspections.commissioning.plans import take_plans
from inspections.due import next_due_on
from inspections.models import Protocol, Visit, VisitKind
from inspections.models.protocols import DoneBy
from inspections.test_points.making import ask_of_positions
from sites_registry.models import Job
from sites_registry.services.jobs import open_job
from sites_registry.services.refusals import Refused
from zones.engineering.cause_and_effect import RuleSetError
from zones.models import Position

# Which kind of job a visit belongs to when none is named.
JOB_KIND = {
    VisitKind.COMMISSIONING: Job.Kind.NEW,
    VisitKind.INSPECTION: Job.Kind.SERVICE,
    VisitKind.REMEDIAL: Job.Kind.REMEDIAL,
}


class VisitRefused(Refused):
    """The visit cannot be planned, started, finished or called off so."""


class NotFinishable(VisitRefused):
    """Test points are without an outcome; `test_points` are those points, in walking order."""

    def __init__(self, test_points):
        self.test_points = list(test_points)
        super().__init__(*(f"{point.position.tag}, {point.title}: no outcome yet." for point in self.test_points))


@transaction.atomic
def plan_visit(*, building, kind, planned_on, engineer=None, job=None, **fields):
    """Plan a visit; returns it.

    Without `job` it goes to the newest open job of the fitting kind, opened on the fly when there is none. `fields`:
    witness, instruments, notes. Raises ValidationError.
    """
    job = job or _job_for(building, kind, planned_on)
    visit = Visit(building=building, job=job, kind=kind, planned_on=planned_on, engineer=engineer, **fields)
    visit.full_clean()
    visit.save()
    return visit


def _job_for(building, kind, planned_on):
    job_kind = JOB_KIND[VisitKind(kind)]
    if job := building.jobs.open().filter(kind=job_kind).order_by("-opened_on", "-pk").first():
        return job
    opened_on = min(planned_on, timezone.localdate())
    return open_job(building=building, kind=job_kind, scope=_scope(kind, planned_on), opened_on=opened_on)


def _scope(kind, planned_on):
    return f"{VisitKind(kind).label.capitalize()} of {planned_on.year}."


@transaction.atomic
def start_visit(*, visit, started_by, started_at=None):
    """Start a visit: freeze what the published protocol asks of each position in use into test points.

    A commissioning visit takes over the plan of every panel with rules. Remedial work asks only the positions with an
    open defect; others are added by `add_positions`. A visit of what is due asks that. A visit without engineer becomes
    that of `started_by`. Started twice, it stays as it is. Raises VisitRefused.
    """
    visit = _locked(visit)
    if visit.state == Visit.State.UNDER_WAY:
        return visit
    _refuse_unless(visit, Visit.State.PLANNED, "started")
    positions = set_out(visit, started_at or timezone.now())
    visit.engineer = visit.engineer or started_by
    visit.save()
    is_part = visit.extent == Visit.Extent.DUE
    if not ask_of_positions(visit, positions, only_due=is_part) and is_part:
        raise VisitRefused(
            f"Nothing falls due at {visit.building} before {visit.due_before:%-d %b %Y}. "
            "Let the office change the visit to one of every check, or plan it later."
        )
    if visit.kind == VisitKind.COMMISSIONING:
        # Rules that point nowhere must not keep anybody from starting: the page of the plan tells them.
        with suppress(RuleSetError):
            take_plans(visit=visit)
    return visit


def set_out(visit, started_at):
    """Make a planned visit one under way from this moment, unsaved; returns the positions that it asks.

    Raises VisitRefused.
    """
    protocol = Protocol.objects.in_force().filter(kind=visit.kind).first()
    if protocol is None:
        raise VisitRefused(
            f"There is no published protocol for {visit.get_kind_display()}. The office publishes one under Protocols."
        )
    positions = Position.objects.in_use().filter(building=visit.building)
    if not positions.exists():
        raise VisitRefused(f"{visit.building} has no positions to test yet. Register its devices first.")
    if visit.kind == VisitKind.REMEDIAL:
        positions = positions.filter(defects__closed_at=None, defects__isnull=False).distinct()
    visit.state, visit.protocol, visit.started_at = Visit.State.UNDER_WAY, protocol, started_at
    if visit.extent == Visit.Extent.DUE:
        visit.due_before = next_visit_on(visit, timezone.localtime(started_at).date())
    return positions


def next_visit_on(visit, day):
    """The day by which the building is inspected again after a visit on that day."""
    return next_due_on(day, visit.building.inspection_interval_months)


@transaction.atomic
def add_positions(*, visit, positions=None):
    """Add test points for positions that have none on this visit; returns how many points were added.

    `positions` (a queryset) defaults to those put in use after the start. Raises VisitRefused.
    """
    visit = _locked(visit)
    _refuse_unless(visit, Visit.State.UNDER_WAY, "given more positions")
    if positions is None:
        positions = positions_not_asked(visit)
    positions = positions.in_use().filter(building=visit.building)
    return len(ask_of_positions(visit, positions))


def positions_not_asked(visit):
    """Positions in use of the building that have no test point on this visit, though its protocol asks their kind."""
    if visit.protocol_id is None:
        return Position.objects.none()
    kinds = visit.protocol.checks.filter(asked_of="every", done_by=DoneBy.ENGINEER).values("device_kind")
    positions = (
        Position.objects.in_use()
        .filter(building=visit.building_id, kind__in=kinds)
        .exclude(pk__in=visit.test_points.values("position"))
    )
    if visit.extent == Visit.Extent.DUE:
        # What is not due is left out on purpose; what was put in use since the start is new.
        new = Position.history.filter(history_type="+", history_date__gt=visit.started_at)
        positions = positions.filter(pk__in=new.values("id"))
    return positions


@transaction.atomic
def finish_visit(*, visit, finished_by, finished_at=None):
    """Finish a visit whose every test point has an outcome. Finished twice, it stays as it is.

    Raises NotFinishable (with the open points) or VisitRefused.
    """
    visit = _locked(visit)
    if visit.state == Visit.State.FINISHED:
        return visit
    _refuse_unless(visit, Visit.State.UNDER_WAY, "finished")
    if not visit.test_points.exists():
        raise VisitRefused("This visit has no test points. Add the positions that were worked on.")
    missing = visit.test_points.without_outcome().select_related("position").in_walking_order()
    if missing:
        raise NotFinishable(missing)
    visit.state, visit.finished_at = Visit.State.FINISHED, finished_at or timezone.now()
    visit._history_user = finished_by
    visit.save()
    return visit


@transaction.atomic
def call_off_visit(*, visit, reason, called_off_by):
    """Call a planned or started visit off, with the reason; what was recorded stays. Raises VisitRefused."""
    visit = _locked(visit)
    if visit.state == Visit.State.CALLED_OFF:
        return visit
    if visit.state == Visit.State.FINISHED:
        raise VisitRefused(f"{visit} is finished and cannot be called off.")
    if not reason.strip():
        raise VisitRefused("Say why the visit is called off.")
    visit.state, visit.called_off_reason = Visit.State.CALLED_OFF, reason.strip()
    visit._change_reason = visit.called_off_reason
    visit._history_user = called_off_by
    visit.full_clean()
    visit.save()
    return visit


def _locked(visit):
    # SQLite ignores row locks; there the immediate transaction makes the second person wait.
    Visit.objects.select_for_update(of=("self",)).get(pk=visit.pk)
    return Visit.objects.select_related("building", "protocol", "engineer").get(pk=visit.pk)


def _refuse_unless(visit, state, verb):
    if visit.state != state:
        raise VisitRefused(f"{visit} is {visit.get_state_display()} and cannot be {verb}.")
