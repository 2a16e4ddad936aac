"""Results: take answers that a phone has queued, each exactly once, in any order, however often they are sent."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import timedelta
from enum import StrEnum
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.formats import date_format

from inspections.commissioning.plans import confirm_places
from inspections.defects.edits import DefectRefused, close_defect, open_again, open_defect
from inspections.models import Defect, Outcome, Result, TestPoint, Visit
from inspections.models.test_points import NOT_TESTED, PASSING, TESTED
from inspections.test_points.counting import answers_left, bring_up_to_date, open_defects_of
from inspections.test_points.limits import LimitsHere
from inspections.test_points.numbers_ahead import made_of
from inspections.visits.actuators_found import record_actuators_found
from inspections.visits.answer_checks import AnswerRefused, check_against_point
from inspections.visits.plain_answers import PlainFirst, PlainResults, is_plain
from inspections.visits.plate_figures import figures_of_reading, take_figures
from inspections.visits.sent_answers import BIGGEST_ID, typed_answer, typed_defect
from sites_registry.clocks import moment_of, sighting_of
from zones.units.plate_figures import PlateFigureRefused

MOST_ANSWERS = 1000
MOST_KNOWN = 50
NOT_STORED = "This answer could not be stored. Nothing was changed; enter it again."
CLOCK_AHEAD = timedelta(minutes=15)
CLOCK_BEHIND = timedelta(days=1)


class Fate(StrEnum):
    TAKEN = "taken"
    ALREADY_TAKEN = "already_taken"
    REFUSED = "refused"


@dataclass(frozen=True)
class AnswerFate:
    """What became of one answer. `field` names the input that a refusal is about; `notes` add what else happened."""

    client_uuid: str
    fate: Fate
    message: str = ""
    field: str = ""
    test_point_id: int | None = None
    result_id: int | None = None
    notes: tuple[str, ...] = ()


def take_answers(*, visit, person, answers, sent_at=None, received_at=None):
    """Take a batch of answers on one visit; returns one AnswerFate per answer, in the same order.

    Each answer is a mapping: client_uuid, test_point (its id), outcome, and where they apply reading, remark, reason,
    correction_reason, figures {name: value read off a data plate, or with which a reading was taken}, seen_at (ISO
    8601, by the clock of the device; default now), clock_offset_ms (how far that clock was out when the answer was
    given, where the device knew it), knows [identifiers of the results at this point that the person had before them],
    defect {severity, description, interim_measure, told_to} for a fail, closes [ids of defects] with closing_note for a
    pass, closes_fails (true: this pass closes what the known fails opened).

    `sent_at` is the time of sending by the clock of the device. A refused answer changes nothing and holds up no
    other. Which result of a point counts says `services.counting`.
    """
    if not answers:
        return []
    received_at = received_at or timezone.now()
    with transaction.atomic():
        # SQLite ignores row locks; there the immediate transaction makes a second phone wait.
        visit = Visit.objects.select_for_update(of=("self",)).get(pk=visit.pk)
        return _Taking(visit, person, moment_of(sent_at), received_at, answers).verdicts()


class _Taking:
    """One batch. Reads what it needs about all its answers at once, then takes them one by one.

    A plain answer, the first at its point, with no defect, figure or contradiction about it, waits for the others that
    are plain: they are written together. Any other answer is taken when those before it are written.
    """

    def __init__(self, visit, person, sent_at, received_at, answers):
        self.visit, self.person, self.answers = visit, person, _at_points_made(visit, answers)
        self.sent_at, self.received_at = sent_at, received_at
        self.has_new_figures = False
        self.plain = PlainResults()
        self._read_points()
        uuids = {_uuid(answer.get("client_uuid")) for answer in answers if isinstance(answer, Mapping)} - {None}
        self.taken = {result.client_uuid: result for result in Result.objects.filter(client_uuid__in=uuids)}

    def _read_points(self):
        ids = {_whole_number(answer.get("test_point")) for answer in self.answers if isinstance(answer, Mapping)}
        points = self.visit.test_points.filter(pk__in=ids - {None}).select_related(
            "position", "check_of", "planned_step"
        )
        self.points = {point.pk: point for point in points}
        for point in self.points.values():
            point.visit = self.visit

    def verdicts(self):
        fates = [self._verdict(answer) for answer in self.answers]
        self.plain.write()
        return [self._fate_of(one) if isinstance(one, Result) else one for one in fates]

    def _fate_of(self, result):
        identifier, point_id = str(result.client_uuid), result.test_point_id
        if self.plain.is_refused(result):
            return AnswerFate(identifier, Fate.REFUSED, NOT_STORED, "", point_id)
        return AnswerFate(identifier, Fate.TAKEN, "", "", point_id, result.pk)

    def _verdict(self, answer):
        identifier = str(answer.get("client_uuid", ""))[:36] if isinstance(answer, Mapping) else ""
        point_id = _whole_number(answer.get("test_point")) if isinstance(answer, Mapping) else None
        try:
            with transaction.atomic():
                return self._take(answer)
        except PlainFirst:
            self.plain.write()
            return self._verdict(answer)
        except AnswerRefused as refusal:
            self._forget_figures()
            return AnswerFate(identifier, Fate.REFUSED, refusal.message, refusal.field, point_id)
        except PlateFigureRefused as refusal:
            self._forget_figures()
            return AnswerFate(identifier, Fate.REFUSED, str(refusal), "figures", point_id)
        except DefectRefused as refusal:
            return AnswerFate(identifier, Fate.REFUSED, str(refusal), "closes", point_id)
        except IntegrityError:  # the same identifier, taken at this very moment on another visit
            return AnswerFate(identifier, Fate.REFUSED, NOT_STORED, "", point_id)

    def _forget_figures(self):
        """Figures of a refused answer are gone from the database: no other answer is judged by them."""
        if self.has_new_figures:
            self.has_new_figures = False
            self._read_points()

    def _take(self, answer):
        if not isinstance(answer, Mapping):
            raise AnswerRefused("This answer could not be read. Enter it again.")
        sent = typed_answer(answer)
        cleaned = sent.fields
        if earlier := self.taken.get(cleaned.get("client_uuid")):
            if earlier in self.plain:
                raise PlainFirst
            if earlier.pk is not None:
                return self._already(earlier, cleaned.get("test_point"))
        if sent.fault:
            raise AnswerRefused(sent.fault, sent.faulty_field)
        point = self.points.get(cleaned["test_point"])
        if point is None:
            raise AnswerRefused(_not_asked(self.visit, cleaned["test_point"]), "test_point")
        if self.plain and (self.plain.is_at(point) or not is_plain(answer, cleaned, point)):
            raise PlainFirst
        sighting = self._sighting(cleaned)
        self._check_visit(cleaned, point)
        cleaned["figures"] = figures_of_reading(point, answer.get("figures"))
        notes = self._take_figures(answer, cleaned, point, sighting)
        check_against_point(cleaned, point)
        known = _known(answer)
        fails = _fails_to_settle(cleaned, point, known)
        return self._store(cleaned, point, answer, sighting, known, fails, notes)

    def _already(self, earlier, point_id):
        if earlier.test_point_id != point_id or earlier.recorded_by_id != self.person.pk:
            raise AnswerRefused("Another answer carries this identifier. Enter this one again.", "client_uuid")
        return AnswerFate(str(earlier.client_uuid), Fate.ALREADY_TAKEN, "", "", point_id, earlier.pk)

    def _sighting(self, cleaned):
        offset = cleaned["clock_offset_ms"]
        try:
            sighting = sighting_of(
                device_at=cleaned["seen_at"],
                sent_at=self.sent_at,
                received_at=self.received_at,
                offset_when_answered=None if offset is None else timedelta(milliseconds=offset),
            )
        except OverflowError:
            message = "The device's clock is beyond any calendar. Set it, then enter the answer again."
            raise AnswerRefused(message, "seen_at") from None
        self._check_time(sighting)
        return sighting

    def _check_time(self, sighting):
        seen_at = sighting.seen_at
        device = f"The device says that this was seen on {_moment(sighting.device_at or seen_at)}"
        if sighting.clock_offset_s:
            device += f", by the register's clock {_moment(seen_at)}"
        if seen_at > self.received_at + CLOCK_AHEAD:
            raise AnswerRefused(f"{device}, which lies ahead. Set its clock, then enter the answer again.", "seen_at")
        if self.visit.started_at and seen_at < self.visit.started_at - CLOCK_BEHIND:
            raise AnswerRefused(
                f"{device}, before the visit started on {_moment(self.visit.started_at)}. "
                "Set its clock, then enter the answer again.",
                "seen_at",
            )

    def _check_visit(self, cleaned, point):
        if self.visit.state == Visit.State.UNDER_WAY:
            return
        if self.visit.state != Visit.State.FINISHED:
            raise AnswerRefused(f"{self.visit} is {self.visit.get_state_display()}: it takes no answers.")
        if not cleaned["correction_reason"]:
            raise AnswerRefused(
                f"{self.visit} was finished on {_moment(self.visit.finished_at)}. "
                "This answer would correct it: say why it is corrected.",
                "correction_reason",
            )

    def _take_figures(self, answer, cleaned, point, sighting):
        """Take figures read off a data plate, by which this and other points are then judged; returns notes."""
        of_plate = answer.get("figures")
        if isinstance(of_plate, Mapping):
            of_plate = {name: text for name, text in of_plate.items() if name not in cleaned["figures"]}
        if cleaned["outcome"] not in TESTED or not of_plate:
            return []
        self.has_new_figures = True
        return take_figures(
            visit=self.visit,
            point=point,
            points=self.points,
            figures=of_plate,
            read_by=self.person,
            read_at=sighting.seen_at,
        )

    def _store(self, cleaned, point, answer, sighting, known, fails, notes):
        fields = ("client_uuid", "outcome", "reading", "remark", "reason", "correction_reason")
        result = Result(
            test_point=point,
            recorded_by=self.person,
            received_at=self.received_at,
            known_results=known,
            figures=cleaned["figures"] or None,
            **{name: cleaned[name] for name in fields},
            **asdict(sighting),
        )
        if is_plain(answer, cleaned, point):
            self.taken[result.client_uuid] = result
            self.plain.add(result)
            return result
        defect_details = _defect_details(answer) if result.outcome == Outcome.FAIL else None
        result.save(force_insert=True)
        confirm_places(result)
        if defect_details:
            defect = open_defect(result=result, **defect_details)
            notes.append(f"{defect} stands open: {defect.get_severity_display()}.")
        closed = self._close(answer, result)
        if fails and result.outcome in PASSING:
            closed += [
                close_defect(defect=defect, result=result, note=result.correction_reason)
                for defect in open_defects_of(point)
            ]
        notes += [f"{defect} is closed." for defect in closed]
        is_first = point.latest_result_id is None and point.retest_since is None
        left = bring_up_to_date(point, newest=result if is_first else None)
        if not is_first and left.counting and left.counting.outcome in NOT_TESTED:
            open_again(left.counting)
        if circuit := record_actuators_found(point):
            notes.append(f"{circuit}: the record says now that the panel reports {circuit.found_actuators}.")
        if point.is_contradicted:
            notes.append(_contradiction(left, result))
        self.taken[result.client_uuid] = result
        return AnswerFate(str(result.client_uuid), Fate.TAKEN, "", "", point.pk, result.pk, tuple(notes))

    def _close(self, answer, result):
        ids = answer.get("closes") or []
        if not isinstance(ids, list | tuple | set):
            ids = [ids]
        if not ids:
            return []
        note = answer.get("closing_note") or ""
        if not isinstance(note, str) or len(note) > 400:
            raise AnswerRefused("Closing note: write at most 400 characters.", "closing_note")
        numbers = {_whole_number(getattr(pk, "pk", pk)) for pk in ids}
        defects = Defect.objects.filter(pk__in=numbers - {None}, building=self.visit.building_id).select_related(
            "found_by_result__test_point", "position"
        )
        if None in numbers or len(defects) != len(numbers):
            raise AnswerRefused("A defect to be closed is not one of this building. Load the page again.", "closes")
        return [close_defect(defect=defect, result=result, note=note) for defect in defects if defect.is_open]


def _defect_details(answer):
    given = answer.get("defect")
    sent = typed_defect(given if isinstance(given, Mapping) else {})
    if sent.fault:
        raise AnswerRefused(sent.fault, sent.faulty_field)
    return sent.fields


def _known(answer):
    """The identifiers of the results that the person had before them, as texts."""
    given = answer.get("knows") or []
    if not isinstance(given, list | tuple) or len(given) > MOST_KNOWN:
        raise AnswerRefused("The answer does not say what was known at this point. Load the page again and enter it.")
    return [str(known) for known in map(_uuid, given) if known]


def _fails_to_settle(cleaned, point, known):
    """The standing fails whose place this answer takes, checked; empty where there are none that its author knew.

    Raises AnswerRefused where a person who knew of a fail does not say why it no longer counts, or would close what
    another fail opened that they did not know of.
    """
    outcome = cleaned["outcome"]
    if outcome == Outcome.FAIL or not known or point.latest_result_id is None:
        return ()
    fails = answers_left(point).fails
    known_fails = [fail for fail in fails if str(fail.client_uuid) in known]
    if not known_fails:
        return ()
    last = known_fails[-1]
    there = f"{point.title} failed on {_moment(last.seen_at)}, recorded by {last.recorded_by}"
    if outcome in PASSING and not cleaned["closes_fails"] and open_defects_of(point).exists():
        raise AnswerRefused(
            f"{there}, and its defect stands open. Say that this pass closes it, or leave the fail.", "closes_fails"
        )
    if not cleaned["correction_reason"]:
        raise AnswerRefused(
            f"{there}. Say why that no longer counts: what was put right, or what was wrong with it.",
            "correction_reason",
        )
    if unknown := [fail for fail in fails if str(fail.client_uuid) not in known]:
        raise AnswerRefused(
            f"{point.title} failed again on {_moment(unknown[-1].seen_at)}, recorded by {unknown[-1].recorded_by}. "
            "Load the page again, look at all answers, then enter yours."
        )
    return known_fails


def _contradiction(left, result):
    counting = "fail" if left.fails else "answer seen last"
    others = [other for other in left.results if other.outcome != result.outcome]
    if left.fails:
        others = [other for other in others if Outcome.FAIL in (other.outcome, result.outcome)]
    if not others:
        return (
            f"The answers at this point contradict each other; the {counting} counts. Load the page again to settle it."
        )
    other = others[-1]
    return (
        f"This contradicts the answer of {other.recorded_by} on {_moment(other.seen_at)}: "
        f"{other.get_outcome_display()}. The {counting} counts until somebody who has seen both says otherwise."
    )


def ask_for_retest(*, visit, position, since, reason):
    """Let the test points of a position wait for a retest: what was seen before `since` no longer counts.

    Call it in the transaction that swaps the unit. Returns the number of points.
    """
    points = TestPoint.objects.select_for_update(of=("self",)).filter(visit=visit, position=position)
    limits = LimitsHere(visit)
    for point in points.select_related("check_of"):
        point.retest_since, point.retest_reason = since, reason[:300]
        limits.renew(point)
        point.save()
        bring_up_to_date(point)
    return len(points)


def _at_points_made(visit, answers):
    """Answers given ahead of the start of the visit stand at the test points that were made of their checks since."""
    made = made_of(visit, {_number_ahead(answer) for answer in answers} - {None})
    if not made:
        return answers
    return [
        {**answer, "test_point": made[number]} if (number := _number_ahead(answer)) in made else answer
        for answer in answers
    ]


def _number_ahead(answer):
    number = answer.get("test_point") if isinstance(answer, Mapping) else None
    return number if isinstance(number, int) and -BIGGEST_ID < number < 0 else None


def _not_asked(visit, number):
    if number > 0:
        return f"Test point {number} is not on {str(visit).lower()}."
    return f"{visit} does not ask this test: the record or the protocol was changed after the visit was taken along."


def _whole_number(value):
    if isinstance(value, bool) or not isinstance(value, int | str):
        return None
    text = str(value)
    return int(text) if text.isascii() and text.isdigit() and len(text) < 19 and int(text) <= BIGGEST_ID else None


def _uuid(value):
    try:
        return value if isinstance(value, UUID) else UUID(str(value))
    except ValueError:
        return None


def _moment(moment):
    return date_format(timezone.localtime(moment), "DATETIME_FORMAT")
