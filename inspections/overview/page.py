"""A building's four answers: fitted and wired · within limits · proven · due."""

from dataclasses import dataclass, field

from django.db.models import Count, F, Q
from django.utils import timezone

from inspections.certificates.standing import standing_of, with_standing
from inspections.due import months_ago, positions_not_tested_since
from inspections.headlines import headline_of
from inspections.models import Certificate, Defect, LogEntry, Outcome, Severity, TestPoint, Visit, VisitKind
from sites_registry.models import Firm
from sites_registry.states import tone_rank
from zones.design_check.checked import checked_building, counts_of
from zones.design_check.findings import SHOWN, TO_ACT_ON
from zones.engineering.findings import Severity as Verdict
from zones.engineering.findings import worst_first
from zones.models import BatterySet, Position
from zones.wiring.state import state_of_building

LINE_LENGTH = 160
MOST_PUT_RIGHT = 5


@dataclass
class Answer:
    """One panel of the page: its state, one line, and rows that lead on."""

    state: str
    word: str
    line: str
    rows: list = field(default_factory=list)


def plural(count, one, many=None):
    return f"{count} {one if count == 1 else many or one + 's'}"


def fitted_and_wired(building):
    positions = Position.objects.filter(building=building).in_use()
    wanted = positions.with_place_for_a_unit()
    count = wanted.count()
    fitted = count - positions.without_unit().count()
    kinds = positions.values("kind").annotate(number=Count("pk")).order_by("-number")
    labels = dict(Position._meta.get_field("kind").choices)
    rows = [(labels[row["kind"]], row["number"]) for row in kinds]
    if not count:
        return Answer("missing", "nothing registered", "No positions yet: register panels, zones and positions.", rows)
    wiring = state_of_building(building)
    rows += [("terminals wired", f"{wiring.wired} of {wiring.needed}"), ("wiring findings open", wiring.findings)]
    with_serial = (
        f"{'All' if fitted == count else f'{fitted} of'} {plural(count, 'position')} have a unit with its serial"
    )
    line = f"{with_serial}; {wiring.counted}."
    if fitted == count:
        return Answer(wiring.state, "complete" if wiring.is_complete else "wiring incomplete", line, rows)
    lacking = "units missing" if wiring.is_complete else "units missing, wiring incomplete"
    return Answer("fail" if wiring.faults else "missing", lacking, line, rows)


NOTHING_MEASURED = "No visit has recorded a reading that has a limit: a computed check is no measurement."


def within_limits(building):
    """What the design check says of the design, and the last readings say of the building."""
    checked = checked_building(building)
    findings = worst_first(checked.all_findings)
    counts, (judged, outside) = counts_of(findings), readings_judged(building)
    rows = [(f"checks: {SHOWN[severity][1]}", counts[severity]) for severity in (*TO_ACT_ON, Verdict.MEETS)]
    rows += [("readings with a limit, last visit", judged), ("readings outside their limits, last visit", outside)]
    worst = findings[0] if findings else None
    line = f"{worst.sentence[:1].upper()}{worst.sentence[1:]}" if worst and worst.severity in TO_ACT_ON else ""
    if len(line) > LINE_LENGTH:
        line = line[: LINE_LENGTH - 2].rstrip() + " …"
    if counts[Verdict.FAIL]:
        return Answer("fail", plural(counts[Verdict.FAIL], "check") + " not met", line, rows)
    if outside:
        return Answer("fail", "readings outside limits", "The last visit read values outside their limits.", rows)
    if counts[Verdict.MISSING] or not checked.panels:
        return Answer("not_known", "not all known", line, rows)
    if counts[Verdict.QUESTION]:
        return Answer(
            "question", plural(counts[Verdict.QUESTION], "figure needs review", "figures need review"), line, rows
        )
    if not judged:
        return Answer("not_known", "design within the entered limits, nothing measured", NOTHING_MEASURED, rows)
    line = f"Within their limits: what was entered, and {plural(judged, 'reading')} of the last visit."
    return Answer("meets", "design and readings within the entered limits", line, rows)


def standing_visits(building):
    """The last finished inspection or commissioning and what remedial visits followed it, the latest first.

    A remedial visit tests a few points only: alone it would hide what the inspection before it found.
    """
    found = []
    for visit in Visit.objects.finished().filter(building=building).order_by("-finished_at"):
        found.append(visit)
        if visit.kind != VisitKind.REMEDIAL:
            break
    return found


def standing_points(visits):
    """Test points of these visits, without those whose fault was put right: their defect was closed by a result."""
    put_right = Q(latest_result__outcome=Outcome.FAIL, latest_result__defect__closed_at__isnull=False)
    return TestPoint.objects.filter(visit__in=visits).exclude(put_right).order_by()


def readings_judged(building):
    """(standing readings that have a limit, those of them outside it)."""
    reading = F("latest_result__reading")
    has_limit = Q(lower_limit__isnull=False) | Q(upper_limit__isnull=False)
    points = standing_points(standing_visits(building)).filter(has_limit, latest_result__reading__isnull=False)
    outside = Q(lower_limit__gt=reading) | Q(upper_limit__lt=reading)
    found = points.aggregate(judged=Count("pk"), outside=Count("pk", filter=outside))
    return found["judged"], found["outside"]


def proven(building):
    visits = standing_visits(building)
    if not visits:
        return Answer("untested", "not tested", "No visit has been finished here.")
    points = standing_points(visits)
    counts = dict(points.values_list("latest_result__outcome").annotate(number=Count("pk")))
    old = positions_not_tested_since(Position.objects.filter(building=building), months_ago(12)).count()
    rows = [(label, counts[value]) for value, label in Outcome.choices if counts.get(value)]
    rows.append(("positions not tested for 12 months", old))
    kinds = ", then ".join(_finished(visit) for visit in reversed(visits))
    line = f"{kinds[:1].upper()}{kinds[1:]}."
    if counts.get("fail"):
        return Answer("fail", plural(counts["fail"], "point") + " failed", line, rows)
    if old:
        return Answer("not_accessible", plural(old, "position") + " not tested for 12 months", line, rows)
    return Answer("pass", "no point failed; every position tested within 12 months", line, rows)


def _finished(visit):
    return f"{visit.get_kind_display()} finished on {timezone.localtime(visit.finished_at):%-d %b %Y}"


def due(building):
    """Needs a building annotated by `with_headline`."""
    headline = headline_of(building, soon_days=Firm.current().due_soon_days)
    due_on = headline.due.due_on
    defects = dict(
        Defect.objects.filter(building=building).open().values_list("severity").annotate(number=Count("pk")).order_by()
    )
    disabled = LogEntry.objects.filter(building=building).open_disablements()
    rows = [(f"open defects, {label}", defects[value]) for value, label in Severity.choices if defects.get(value)] or [
        ("open defects", 0)
    ]
    rows.append(("out of service now", disabled.count()))
    line = "No inspection or commissioning yet."
    if due_on:
        is_past = headline.due.state == "overdue"
        line = f"{'The inspection was due on' if is_past else 'Next inspection by'} {due_on:%-d %b %Y}."
    others = [words for _, words in headline.marks[1:]]
    also = f"Also: {', '.join(others)}. " if others else ""
    return Answer(*headline.worst, f"{also}{line}", rows)


def worst_of(*answers):
    """The answer that heads the page: the worst by its tone, the first of those alike."""
    return min(answers, key=lambda answer: tone_rank(answer.state))


def certificates_in_force(building):
    """(certificate, its standing) of those neither superseded nor revoked, by kind."""
    found = with_standing(Certificate.objects.filter(building=building).in_force().defer("statement"))
    return [(one, standing_of(one)) for one in found.order_by("kind")]


def visits_of(building):
    """The next visit, and those that were planned for a day that is past; see `visits_ahead`."""
    unfinished = Visit.objects.filter(building=building).unfinished().select_related("engineer")
    return visits_ahead(list(unfinished.order_by("planned_on", "pk")), timezone.localdate())


def visits_ahead(unfinished, today):
    """`next_visit`: under way, or planned for today or later; `missed`: planned for an earlier day, not recorded.

    Args:     unfinished: visits of one building, the earliest first.
    """
    under_way = [visit for visit in unfinished if visit.state == Visit.State.UNDER_WAY]
    planned = [visit for visit in unfinished if visit.state == Visit.State.PLANNED]
    ahead = under_way + [visit for visit in planned if visit.planned_on >= today]
    return {
        "next_visit": ahead[0] if ahead else None,
        "missed": [visit for visit in planned if visit.planned_on < today],
    }


def put_right_lately(building):
    """Faults that the visit which found them put right, the latest first; some of many."""
    found = Defect.objects.filter(building=building).put_right_where_found().select_related("position", "found_on")
    return found.order_by("-closed_at", "-pk")[:MOST_PUT_RIGHT]


def battery_sets(building):
    return BatterySet.objects.filter(panel__building=building).fitted().select_related("panel__position")
