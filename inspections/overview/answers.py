"""A building's four answers: fitted and wired · within limits · proven · due."""

from dataclasses import dataclass, field

from django.db.models import Count, Exists, F, Max, OuterRef, Q
from django.db.models.functions import Coalesce
from django.utils import timezone

from inspections.due import months_ago, positions_not_tested_since
from inspections.models import Defect, LogEntry, Outcome, Severity, TestPoint, Visit, VisitKind
from inspections.models.test_points import TESTED
from sites_registry.states import tone_rank
from zones.design_check.checked import CheckedBuilding, counts_of
from zones.design_check.findings import TO_ACT_ON
from zones.engineering.findings import Severity as Verdict
from zones.engineering.findings import listed, worst_first
from zones.models import Position
from zones.models.units import Fitting
from zones.wiring.state import state_of_building

LINE_LENGTH = 90
MOST_TAGS = 3


@dataclass
class Answer:
    """One of the four: its state with a few words, a sentence, and figures in a line of their own.

    `short`: the words where a list has room for two or three only.
    """

    state: str
    word: str
    line: str
    figures: str = ""
    short: str = ""


def plural(count, one, many=None):
    return f"{count} {one if count == 1 else many or one + 's'}"


# What is fitted -----------------------------------------------------------------------------------------------------


@dataclass
class Places:
    """Positions that have a place for a unit, by (panel, zone), and those of them that have one."""

    wanted: dict = field(default_factory=dict)
    fitted: dict = field(default_factory=dict)

    def number(self, of, *, panel=..., zone=...):
        """How many of a panel or zone, or of all; None is a panel or zone like any other: those that have none."""
        return sum(
            number for (panel_pk, zone_pk), number in of.items() if panel in (..., panel_pk) and zone in (..., zone_pk)
        )


# A position with the panel that it belongs to: its own where it is one.
PANEL_OF_POSITION = Coalesce("panel", "control_panel")


def places_of(building):
    """Positions and units of a building by panel and zone; one query."""
    has_unit = Exists(Fitting.objects.open().filter(position=OuterRef("pk")))
    found = Position.objects.filter(building=building).in_use().with_place_for_a_unit().order_by()
    places = Places()
    for panel, zone, wanted, fitted in (
        found.annotate(has_unit=has_unit, of_panel=PANEL_OF_POSITION)
        .values_list("of_panel", "smoke_zone")
        .annotate(wanted=Count("pk"), fitted=Count("pk", filter=Q(has_unit=True)))
    ):
        places.wanted[panel, zone], places.fitted[panel, zone] = wanted, fitted
    return places


def kinds_in_words(building):
    """ "smoke detector 21, actuator 20": what is registered, the most first."""
    positions = Position.objects.filter(building=building).in_use()
    kinds = positions.values_list("kind").annotate(number=Count("pk")).order_by("-number", "kind")
    labels = dict(Position._meta.get_field("kind").choices)
    return ", ".join(f"{labels[kind]}\N{NO-BREAK SPACE}{number}" for kind, number in kinds)


def fitted_and_wired(building, places):
    count, fitted = places.number(places.wanted), places.number(places.fitted)
    if not count:
        return Answer("missing", "nothing registered", "No positions yet: register panels, zones and positions.")
    lacking = Position.objects.filter(building=building).in_use().without_unit().order_by("tag_key")
    tags = list(lacking.values_list("tag", flat=True)[: MOST_TAGS + 1])
    wiring = state_of_building(building)
    words = f"{fitted} of {count} fitted"
    if not tags:
        words = words if wiring.is_complete else "wiring incomplete"
        line = f"{'Each position has' if count > 1 else 'The position has'} a unit with its serial; {wiring.counted}."
        return Answer(wiring.state, words, line)
    named = listed(tags[:MOST_TAGS]) if count - fitted <= MOST_TAGS else plural(count - fitted, "position")
    line = f"{named} {'has' if count - fitted == 1 else 'have'} no unit yet; {wiring.counted}."
    return Answer("fail" if wiring.faults else "missing", words, line)


# Whether it is within limits ---------------------------------------------------------------------------------------

NOTHING_MEASURED = "No visit has recorded a reading that has a limit: a computed check is no measurement."


def within_limits(checked: CheckedBuilding, test):
    """What the design check says of the design, and the last readings say of the building."""
    findings = worst_first(checked.all_findings)
    counts = counts_of(findings)
    total = sum(counts[severity] for severity in (*TO_ACT_ON, Verdict.MEETS))
    worst = findings[0] if findings else None
    figures = _others_in_words(counts, worst and worst.severity) + _readings_in_words(test)
    line = f"{worst.sentence[:1].upper()}{worst.sentence[1:]}" if worst and worst.severity in TO_ACT_ON else ""
    if len(line) > LINE_LENGTH:
        line = line[: LINE_LENGTH - 2].rstrip() + " …"
    if number := counts[Verdict.FAIL]:
        return Answer("fail", f"{number} of {total} not met", line, figures, f"{number} not met")
    if test.outside:
        words = f"{test.outside} of {plural(test.judged, 'reading')} outside limits"
        read = "The last visit read values outside their limits."
        return Answer("fail", words, read, figures, f"{test.outside} outside")
    if not checked.panels:
        return Answer("not_known", "not all known", line, figures, "no panel")
    if number := counts[Verdict.MISSING]:
        return Answer("not_known", f"{number} of {total} not known", line, figures, f"{number} not known")
    if number := counts[Verdict.QUESTION]:
        words = "needs review" if number == 1 else "need review"
        return Answer("question", f"{number} of {total} {words}", line, figures, f"{number} to review")
    if not test.judged:
        words = "design within the entered limits, nothing measured"
        return Answer("not_known", words, NOTHING_MEASURED, figures, "nothing measured")
    line = f"Within their limits: what was entered, and {plural(test.judged, 'reading')} of the last visit."
    return Answer("meets", words := "design and readings within the entered limits", line, figures, words)


def _others_in_words(counts, worst):
    """How many checks say something else than the worst, which heads the answer."""
    words = (
        (Verdict.MISSING, "not known"),
        (Verdict.QUESTION, "to review"),
        (Verdict.MEETS, "within"),
    )
    said = [f"{counts[severity]} {word}" for severity, word in words if counts[severity] and severity != worst]
    return f"{', '.join(said)}; " if said else ""


def _readings_in_words(test):
    if not test.judged:
        return "no reading has a limit."
    return f"{plural(test.judged, 'reading')}, {test.outside} outside."


# Whether it worked when last tested --------------------------------------------------------------------------------


@dataclass
class LastTest:
    """The last finished inspection or commissioning with the remedial visits after it, and what stands of them.

    `visits`: the latest first; `outcomes`: number by outcome; `last_at`: the latest test by (panel, zone); `judged`
    readings have a limit, `outside` of them are outside it.
    """

    visits: list
    outcomes: dict = field(default_factory=dict)
    last_at: dict = field(default_factory=dict)
    judged: int = 0
    outside: int = 0


def standing_visits(visits):
    """The last finished visit that asked everything and what visits followed it, the latest first.

    A remedial visit, or one of what was due, tests a part of the points only: alone it would hide what the visit before
    it found.

    Args:     visits: of one building, in any order.
    """
    finished = [visit for visit in visits if visit.state == Visit.State.FINISHED]
    found = []
    for visit in sorted(finished, key=lambda visit: visit.finished_at, reverse=True):
        found.append(visit)
        if visit.kind != VisitKind.REMEDIAL and visit.extent == Visit.Extent.EVERYTHING:
            break
    return found


LIMITED = Q(lower_limit__isnull=False) | Q(upper_limit__isnull=False)


def standing_points(visits):
    """Test points of these visits, without those whose fault was put right: their defect was closed by a result; and
    without those that a later visit of what was due tested again."""
    put_right = Q(latest_result__outcome=Outcome.FAIL, latest_result__defect__closed_at__isnull=False)
    points = TestPoint.objects.filter(visit__in=visits).exclude(put_right).order_by()
    if parts := [visit.pk for visit in visits if visit.extent == Visit.Extent.DUE]:
        again = TestPoint.objects.filter(
            visit__in=parts,
            position=OuterRef("position"),
            code=OuterRef("code"),
            visit__finished_at__gt=OuterRef("visit__finished_at"),
            latest_result__outcome__in=TESTED,
        )
        points = points.filter(~Exists(again))
    return points


def last_test(visits, which=None):
    """What the last test of a building found; one query.

    Args:     visits: all of the building; which: a `Q` that says which test points count, else all do.
    """
    test = LastTest(standing_visits(visits))
    reading = F("latest_result__reading")
    is_judged = LIMITED & Q(latest_result__reading__isnull=False)
    points = (
        standing_points(test.visits)
        .filter(which or Q())
        .annotate(of_panel=Coalesce("position__panel", "position__control_panel"))
    )
    rows = points.values_list("latest_result__outcome", "of_panel", "position__smoke_zone")
    for outcome, *place, number, last_at, judged, outside in rows.annotate(
        number=Count("pk"),
        last_at=Max("latest_result__seen_at", filter=Q(latest_result__outcome__in=TESTED)),
        judged=Count("pk", filter=is_judged),
        outside=Count("pk", filter=is_judged & (Q(lower_limit__gt=reading) | Q(upper_limit__lt=reading))),
    ):
        test.outcomes[outcome] = test.outcomes.get(outcome, 0) + number
        test.judged += judged
        test.outside += outside
        if last_at:
            test.last_at[tuple(place)] = max(last_at, test.last_at.get(tuple(place), last_at))
    return test


def not_tested_lately(positions):
    """Those of these positions not tested for 12 months as (tag, panel, zone, whether ever tested); one query."""
    tested = TestPoint.objects.filter(position=OuterRef("pk"), latest_result__outcome__in=TESTED)
    old = positions_not_tested_since(positions, months_ago(12))
    found = old.annotate(was_tested=Exists(tested), of_panel=PANEL_OF_POSITION).order_by("tag_key")
    return list(found.values_list("tag", "of_panel", "smoke_zone", "was_tested"))


def proven(test, old):
    """Whether it worked when last tested; `old` as of `not_tested_lately`."""
    if not test.visits:
        return Answer("untested", "not tested", "No visit has been finished here.")
    total = sum(test.outcomes.values())
    said = [f"{test.outcomes[value]} {label}" for value, label in Outcome.choices if test.outcomes.get(value)]
    figures = f"{', '.join(said)}." if said else ""
    kinds = finished_in_words(test.visits)
    line = f"{kinds[:1].upper()}{kinds[1:]}."
    if failed := test.outcomes.get(Outcome.FAIL):
        return Answer("fail", f"{failed} of {plural(total, 'point')} failed", line, figures)
    if old:
        tags = listed([tag for tag, *_ in old], limit=MOST_TAGS)
        words = f"{plural(len(old), 'position')} not tested"
        return Answer("not_accessible", words, f"{tags}: not for 12 months. {line}", figures)
    passed = test.outcomes.get(Outcome.PASS, 0) + test.outcomes.get(Outcome.REMARK, 0)
    words = f"{passed} of {total} passed" if total else "no point failed"
    return Answer("pass", words, f"{line} Every position was tested within 12 months.", figures)


def finished_in_words(visits):
    """ "Periodic inspection finished on 3 Mar 2026, then …". `visits`: the latest first."""
    return ", then ".join(_finished(visit) for visit in reversed(visits))


def _finished(visit):
    return f"{visit.get_kind_display()} finished on {timezone.localtime(visit.finished_at):%-d %b %Y}"


# What is due -------------------------------------------------------------------------------------------------------


def due(building, headline):
    """`headline` of the building."""
    due_on = headline.due.due_on
    defects = dict(
        Defect.objects.filter(building=building).open().values_list("severity").annotate(number=Count("pk")).order_by()
    )
    said = [f"{label} {defects[value]}" for value, label in Severity.choices if defects.get(value)]
    opened = f"{plural(sum(defects.values()), 'open defect')}: {', '.join(said)}" if said else "No defect is open"
    out = LogEntry.objects.filter(building=building).open_disablements().count()
    figures = f"{opened}. {out or 'Nothing is'} out of service{' now' if out else ''}."
    line = "No inspection or commissioning yet."
    if due_on:
        is_past = headline.due.state == "overdue"
        line = f"{'The inspection was due on' if is_past else 'Next inspection by'} {due_on:%-d %b %Y}."
    others = [words for _, words in headline.marks[1:]]
    also = f"Also: {', '.join(others)}. " if others else ""
    return Answer(*headline.worst, f"{also}{line}", figures)


def worst_of(*answers):
    """The answer that heads the page: the worst by its tone, the first of those alike."""
    return min(answers, key=lambda answer: tone_rank(answer.state))
