"""What a certificate states: a plain copy of the records, taken once, at issue.

Everything in a statement is text, number, true/false, list or dict, so that nothing in it can change afterwards.
"""

from datetime import datetime, time

from dateutil.relativedelta import relativedelta
from django.db.models import Count
from django.utils import timezone
from django.utils.formats import date_format

from inspections.certificates.conclusion import RELIABLE, conclusion_of
from inspections.certificates.stood_then import stood_then
from inspections.commissioning.plans import coverage_of
from inspections.due import next_due_on, positions_not_tested_since
from inspections.instruments.calibration import instruments_in_words
from inspections.models import Defect, Outcome, TestPoint
from inspections.models.protocols import number_text
from inspections.models.test_points import TESTED
from inspections.protocols.standards import is_cited, standards_of
from inspections.standing_matters.matters import what_stands
from inspections.test_points.extent import asked_in_words
from inspections.test_points.missed import TWICE, class_of_missed, missed_in_words, missed_on
from sites_registry.models import Firm, HandedOverDocument, Variation
from sites_registry.words import counted, storey_words
from zones.models import ControlPanel, DeviceKind, Position, SmokeZone

# 2 adds "standards" and "is_standard_cited"; a statement of version 1 has no list of what its checks cite.
# 3 adds "accepted", and "on_this_visit" to what was put right. 4 adds "asked" to the visit: the part that it asked.
# 5 adds "conclusion" and what it rests on (stood_then.py), "not_reached", "severity_key", "storey" of readings.
# 6 lets the first sheet say how many settings were not compared; it holds nothing more.
STATEMENT_VERSION = 6
CONCLUDED = ("conclusion", "is_limited", "limited_because")  # what `concluded` adds
LIMITS_OF_THE_STATEMENT = (
    "This certificate states what was tested on the date given and what was found. It does not cover parts that were "
    "not seen, the work of others, or what happens after that date. It does not replace the standard, the fire "
    "strategy or the local code, which prevail."
)


def _where(position, *room):
    return " · ".join(filter(None, [storey_words(position.storey), *room, position.place]))


def local_date(moment):
    return timezone.localtime(moment).date()


def statement_of(visit, *, scope, exclusions, capacity, issued_by, issued_on, stands=None):
    """The frozen statement of a finished visit, as the records stand now.

    Args:     stands: `what_stands` of the visit, where the caller has it.
    """
    building = visit.building
    points = list(
        TestPoint.objects.filter(visit=visit)
        .select_related("position__smoke_zone", "latest_result__recorded_by", "latest_result__defect")
        .in_walking_order()
    )
    defects = list(Defect.objects.filter(building=building).open().select_related("position").worst_first())
    due_on = next_due_on(local_date(visit.finished_at), building.inspection_interval_months)
    missed = missed_on(visit, points)
    standard, standards = visit.job.standard or building.standards_applied, standards_of(points)
    statement = {
        "statement_version": STATEMENT_VERSION,
        **_who_and_where(visit),
        "scope": scope,
        "exclusions": exclusions,
        "standard": standard,
        "is_standard_cited": is_cited(standard, standards),
        "standards": standards,
        "fire_strategy": building.fire_strategy_reference,
        "system": system_description(building),
        "tested": tested_summary(points),
        "plans": coverage_of(visit),
        "readings": readings_summary(points),
        "not_tested": not_tested(points, missed),
        "not_tested_for_12_months": tags_not_tested_for_12_months(building, issued_on),
        "remarks": [
            {"tag": point.position.tag, "check": point.title, "text": point.latest_result.remark}
            for point in points
            if point.latest_result and point.latest_result.outcome == Outcome.REMARK
        ],
        "defects": [defect_row(defect) for defect in defects],
        "put_right": put_right_since(visit),
        "accepted": accepted_rows(stands or what_stands(visit.job, visit=visit)),
        "variations": variations_of(building),
        "handed_over": [
            {"title": paper.title, "kind": paper.get_kind_display(), "language": paper.language}
            for paper in HandedOverDocument.objects.filter(job=visit.job)
        ],
        "not_reached": not_reached(points, missed),
        "next_due_on": due_on.isoformat(),
        "signatures": signatures(visit, capacity, issued_by, issued_on),
        "limits": LIMITS_OF_THE_STATEMENT,
        **stood_then(visit, points),
    }
    return statement | concluded(statement)


def concluded(statement):
    """What follows from all else that a statement says."""
    conclusion = conclusion_of(statement)
    return {
        "conclusion": conclusion,
        "is_limited": conclusion["state"] != RELIABLE,
        "limited_because": [*conclusion["because"], *conclusion["limits"]],
    }


def _who_and_where(visit):
    """The firm, its client, the building and the visit."""
    building, firm = visit.building, Firm.current()
    return {
        "firm": {
            "name": firm.name,
            "address": firm.address,
            "phone": firm.phone,
            "email": firm.email,
            "registration": firm.registration,
            "logo": firm.logo,
        },
        "client": {
            "name": building.client.name,
            "address": building.client.certificate_address or building.client.address,
        },
        "building": {
            "name": building.name,
            "address": building.address,
            "use": building.get_use_display(),
            "responsible_person": building.responsible_person,
        },
        "visit": {
            "number": visit.pk,
            "kind": visit.get_kind_display(),
            "job": visit.job.number,
            "started_on": local_date(visit.started_at).isoformat(),
            "finished_on": local_date(visit.finished_at).isoformat(),
            "protocol": str(visit.protocol) if visit.protocol else "",
            "witness": visit.witness,
            "basis": visit.protocol.basis if visit.protocol else "",
            "instruments": instruments_in_words(visit),
            "asked": asked_in_words(visit),
        },
    }


def not_done(point):
    return point.latest_result is not None and point.latest_result.outcome == Outcome.NOT_ACCESSIBLE


def not_reached(points, missed):
    """In words, how many positions were not accessible; empty when all were."""
    left_out = {point.position_id for point in points if not_done(point)}
    return [f"{counted(len(left_out), 'positions')} not accessible{_twice_running(points, missed)}"] if left_out else []


def _twice_running(points, missed):
    """How many of them were not accessible before either, and the class that this has."""
    again = {point.position_id for point in points if missed.get(point.pk, 0) >= TWICE}
    return f", {len(again)} of them on two visits running or more ({class_of_missed(TWICE).label})" if again else ""


def system_description(building):
    kinds = (
        Position.objects.filter(building=building).in_use().values_list("kind").annotate(number=Count("pk")).order_by()
    )
    count_of = dict(kinds)
    zones = SmokeZone.objects.filter(building=building).select_related("panel__position").order_by("number")
    panels = ControlPanel.objects.filter(building=building, position__retired_on=None).select_related("position")
    return {
        "counts": [{"kind": label, "number": count_of[k]} for k, label in DeviceKind.choices if count_of.get(k)],
        "panels": [
            {
                "tag": panel.tag,
                "place": _where(panel.position, panel.position.room),
                "settings_revision": panel.settings_revision,
            }
            for panel in panels.order_by("position__tag_key")
        ],
        "zones": [
            {
                "number": zone.number,
                "name": zone.name,
                "storey": zone.storey,
                "panel": zone.panel.tag if zone.panel else "",
            }
            for zone in zones
        ],
    }


def tested_summary(points):
    """Coverage by kind of device: how many points, how each came out."""
    rows = {}
    for point in points:
        row = rows.setdefault(point.position.kind, dict.fromkeys(["points", *Outcome.values, "untested"], 0))
        row["points"] += 1
        row[point.latest_result.outcome if point.latest_result else "untested"] += 1
    positions = {}
    for point in points:
        positions.setdefault(point.position.kind, set()).add(point.position_id)
    return [
        {"kind": label, "positions": len(positions[kind]), **rows[kind]}
        for kind, label in DeviceKind.choices
        if kind in rows
    ]


def _note(point, result):
    """What a reading looks like, with what belongs to it: "test voltage 250 V DC"; said where that lacks."""
    words = point.rule.looks_like(float(result.reading))
    if asked := point.rule.of_reading():
        given = result.figures_text or f"{' and '.join(one.label for one in asked)} not recorded: not judged"
        words = f"{given}. {words}"
    return words.strip()


def readings_summary(points):
    """Each reading that was taken, with its limits and whether it meets them."""
    rows = []
    for point in points:
        result = point.latest_result
        if result is None or result.reading is None:
            continue
        within = point.is_within_limits(result.reading, result.figures)
        rows.append(
            {
                "tag": point.position.tag,
                "storey": point.position.storey,
                "check": point.title,
                "quantity": point.quantity,
                "reading": number_text(result.reading),
                "unit": point.unit,
                "limits": point.limits_text,
                "source": point.limit_source,
                "verdict": _verdict(point, within),
                "note": _note(point, result),
            }
        )
    return rows


def _verdict(point, within):
    """Against its limits in a word; what asks for a figure that was not entered has limits, but no verdict."""
    if within is None:
        return "not judged" if point.rule.of_reading() else "no limit"
    return "meets" if within else "outside"


def not_tested(points, missed):
    return [
        {
            "tag": point.position.tag,
            "place": _where(point.position),
            "check": point.title,
            "outcome": point.latest_result.get_outcome_display(),
            "reason": " · ".join(filter(None, [point.latest_result.reason, missed_in_words(missed.get(point.pk, 0))])),
        }
        for point in points
        if point.latest_result and point.latest_result.outcome not in TESTED
    ]


def tags_not_tested_for_12_months(building, issued_on):
    since = timezone.make_aware(datetime.combine(issued_on - relativedelta(months=12), time.min))
    old = positions_not_tested_since(Position.objects.filter(building=building), since)
    return list(old.order_by("tag_key").values_list("tag", flat=True))


def defect_row(defect):
    return {
        "number": defect.pk,
        "tag": defect.position.tag if defect.position else "",
        "severity": defect.get_severity_display(),
        "severity_key": defect.severity,
        "text": defect.description,
        "meanwhile": defect.interim_measure,
        "found_on": local_date(defect.found_at).isoformat(),
    }


def put_right_since(visit):
    """Defects of this visit that were closed: on the visit itself, then later, which is why it was issued again."""
    closed = Defect.objects.filter(found_on=visit, closed_at__isnull=False).select_related("position").with_closing()
    return [
        {
            "number": defect.pk,
            "tag": defect.position.tag if defect.position else "",
            "text": defect.description,
            "closed_on": local_date(defect.closed_at).isoformat(),
            "done": defect.closing_note,
            "by_visit": defect.closed_on.pk,
            "on_this_visit": defect.was_put_right_where_found,
        }
        for defect in sorted(closed, key=lambda one: (not one.was_put_right_where_found, one.closed_at))
    ]


def accepted_rows(stands):
    """What stands and was accepted, with who did so and why; the certificate prints every one."""
    return [
        {
            "kind": one.acceptance.get_kind_display(),
            "about": one.about,
            "words": one.words,
            "reason": one.acceptance.reason,
            "by": one.acceptance.accepted_by.full_name,
            "on": local_date(one.acceptance.accepted_at).isoformat(),
        }
        for one in stands.accepted
    ]


def variations_of(building):
    return [
        {"what": v.what, "why": v.why, "agreed_by": v.agreed_by, "agreed_on": v.agreed_on.isoformat()}
        for v in Variation.objects.filter(building=building).standing()
    ]


def signatures(visit, capacity, issued_by, issued_on):
    """Each signs own part: the engineer the tests, the firm's authorised person the issue; the client signs receipt."""
    rows = []
    if visit.engineer:
        did = "commissioner" if visit.kind == "commissioning" else "inspecting engineer"
        competence = visit.engineer.competence
        lapsed = visit.engineer.competence_expires_on
        if lapsed and lapsed < local_date(visit.finished_at):
            competence = f"{competence} (lapsed on {date_format(lapsed)})".strip()
        rows.append(
            {
                "capacity": did,
                "name": visit.engineer.full_name,
                "competence": competence,
                "on": local_date(visit.finished_at).isoformat(),
                "for": "the tests and findings stated",
            }
        )
    rows.append(
        {
            "capacity": capacity,
            "name": issued_by.full_name,
            "competence": issued_by.competence,
            "on": issued_on.isoformat(),
            "for": "the issue of this certificate",
        }
    )
    return rows
