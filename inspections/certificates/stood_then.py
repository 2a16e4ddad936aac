"""What stood beside the results when a certificate was issued: what its first sheet says of building and visit."""

from collections import Counter

from django.utils import timezone

from inspections.instruments.calibration import calibration_on, day_of, said_of_instruments
from inspections.models import LogEntry, Outcome, SettingFound, SignOff
from sites_registry.documents.signatures import paths_of
from zones.models import AsInstalledRevision

OUT_KINDS = (LogEntry.Kind.DISABLEMENT, LogEntry.Kind.FAULT)


def stood_then(visit, points):
    """The part of a statement that version 5 added; a fixed number of queries.

    Nothing is left out where nothing is recorded: None or an empty list, which the paper says in words.
    """
    return {
        "out_of_service": out_of_service(visit.building),
        "unsettled": unsettled(points),
        "as_installed": as_installed(visit.building),
        "settings_compared": settings_compared(visit),
        "instruments": instruments(visit),
        "instruments_lacking": instruments_lacking(visit, points),
        "sign_off": sign_off(visit),
    }


def out_of_service(building):
    """Disablements that nobody restored and faults that nobody ended, by the log book."""
    entries = LogEntry.objects.filter(building=building, kind__in=OUT_KINDS).current().filter(ended_at=None)
    return [
        {
            "kind": entry.kind,
            "place": _place(entry),
            "what": entry.what,
            "since": timezone.localdate(entry.happened_at).isoformat(),
            "planned_end": timezone.localdate(entry.planned_end_at).isoformat() if entry.planned_end_at else "",
            "meanwhile": entry.interim_measure,
        }
        for entry in entries.select_related("smoke_zone", "position").order_by("happened_at", "pk")
    ]


def _place(entry):
    if entry.position:
        return entry.position.tag
    return f"zone {entry.smoke_zone.number}" if entry.smoke_zone else ""


def unsettled(points):
    """Checks that failed, or whose reading lies outside its limits, unless a defect of theirs was put right since.

    A failed check with an open defect counts by the severity of that.
    """
    rows = []
    for point in points:
        result = point.latest_result
        if result is None:
            continue
        defect = getattr(result, "defect", None)
        is_outside = result.reading is not None and point.is_within_limits(result.reading, result.figures) is False
        is_failed = result.outcome == Outcome.FAIL and defect is None
        if (is_failed or is_outside) and (defect is None or defect.is_open):
            rows.append({"tag": point.position.tag, "check": point.title})
    return rows


def as_installed(building):
    """The latest as-installed revision; None where none was taken."""
    latest = AsInstalledRevision.objects.without_record().filter(building=building).order_by("-number").first()
    if latest is None:
        return None
    taken_on = timezone.localdate(latest.taken_at).isoformat()
    return {"number": latest.number, "taken_on": taken_on, "digest": latest.digest}


def settings_compared(visit):
    """Of each panel of the building, [answer in words, how many settings]; an empty list where none was compared."""
    counts = {}
    for panel_id, answer in visit.settings_found.latest().order_by().values_list("panel", "answer"):
        counts.setdefault(panel_id, Counter())[answer] += 1
    panels = visit.building.panels.select_related("position").order_by("position__tag_key")
    answers = SettingFound.Answer
    return [
        {"panel": panel.tag, "counts": [[a.label, n] for a in answers if (n := counts.get(panel.pk, Counter())[a])]}
        for panel in panels
    ]


def instruments(visit):
    day = day_of(visit)
    rows = []
    for used in visit.instruments_used.all():
        state, words = calibration_on(used, day)
        rows.append({"name": str(used), "serial": used.serial, "state": state, "words": words})
    return rows


def instruments_lacking(visit, points):
    """Sentences on readings that were taken with no instrument on record; one typed in words counts as recorded."""
    if visit.instruments or not any(
        point.latest_result and point.latest_result.reading is not None for point in points
    ):
        return []
    return [sentence.rstrip(".") for state, sentence in said_of_instruments(visit) if state == "missing"]


def sign_off(visit):
    """How the visit was signed off on site, with the strokes of the signature as paths; None where it was not."""
    found = SignOff.objects.filter(visit=visit).select_related("taken_by").first()
    if found is None:
        return None
    drawn = found.signature
    return {
        "how": found.how,
        "name": found.name,
        "why_nobody": found.why_nobody,
        "notice_given": found.notice_given,
        "taken_on": timezone.localdate(found.taken_at).isoformat(),
        "taken_by": found.taken_by.full_name,
        "signature": drawn and {"width": drawn["width"], "height": drawn["height"], "paths": paths_of(drawn)},
    }
