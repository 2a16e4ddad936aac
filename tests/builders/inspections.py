"""Builders of protocols, visits, defects, certificates and what else comes of a visit."""

import io
from datetime import date, timedelta
from hashlib import sha256
from uuid import uuid4

from django.utils import timezone
from PIL import Image

from inspections.certificates.issue import digest_of, issue_certificate
from inspections.models import (
    Certificate,
    Defect,
    HandOver,
    HandOverFile,
    LogEntry,
    Protocol,
    ProtocolCheck,
    Result,
    SettingFound,
    Severity,
    TestPoint,
    Visit,
    VisitKind,
)
from inspections.photos.keeping import keep_photo
from inspections.standing_matters.acceptances import accept_matters
from inspections.standing_matters.matters import RecordRead, what_stands
from sites_registry.access import Role
from sites_registry.models import Instrument, Qualification
from tests.builders.installations import make_attachment, make_panel, make_position
from tests.builders.saving import days_ago, save
from tests.builders.sites import make_building, make_job, make_person
from tests.evidence import rewrite
from zones.models import (
    DeviceKind,
)


def picture_bytes(form="JPEG", size=(40, 30), colour="#4a6a7a", **saved):
    """An invented picture of one colour."""
    file = io.BytesIO()
    Image.new("RGB", size, colour).save(file, form, **saved)
    return file.getvalue()


def make_photo(visit, taken_by=None, content=None, **told):
    """A photograph of a visit, kept through the service."""
    content = content or picture_bytes()
    return keep_photo(
        visit=visit,
        content=content,
        client_uuid=uuid4(),
        taken_by=taken_by or make_person(Role.ENGINEER),
        sent_sha256=sha256(content).hexdigest(),
        **{"taken_at": timezone.now(), **told},
    )


def make_protocol(kind=VisitKind.INSPECTION, **fields):
    """A published protocol with a reading for the panel and a function check for detectors and call points."""
    protocol = Protocol.objects.filter(kind=kind, state="published").first()
    if protocol:
        return protocol
    fields = {
        "version": 1,
        "title": "Checks for tests",
        "state": "published",
        "published_on": date(2024, 1, 1),
        **fields,
    }
    protocol = save(Protocol(kind=kind, **fields))
    save(
        ProtocolCheck(
            protocol=protocol,
            device_kind=DeviceKind.CONTROL_PANEL,
            code="charger-voltage",
            order=1,
            title="Charger voltage",
            expected="Float voltage within limits",
            quantity="float voltage",
            unit="V",
            lower_limit="27.0",
            upper_limit="27.6",
            limit_source="common practice",
            is_reading_required=True,
            hazards="live",
        )
    )
    for kind_of_device in (DeviceKind.SMOKE_DETECTOR, DeviceKind.MANUAL_CALL_POINT):
        save(
            ProtocolCheck(
                protocol=protocol,
                device_kind=kind_of_device,
                code="function",
                order=1,
                title="Function",
                expected="Zone opens",
                hazards="moving,alarm",
            )
        )
    return protocol


def make_visit(building=None, **fields):
    building = building or make_building()
    fields = {"kind": VisitKind.INSPECTION, "planned_on": date(2026, 3, 2), **fields}
    fields.setdefault("job", None)
    fields["job"] = fields["job"] or make_job(building)
    return save(Visit(building=building, **fields))


def make_instrument(**fields):
    fields = {"name": "multimeter", "own_number": f"MM-{Instrument.objects.count() + 1}", "voltage_to_v": 600, **fields}
    return save(Instrument(**fields))


def make_qualification(person=None, **fields):
    fields = {"subject": "service", "title": "Course in two days", "obtained_on": date(2024, 5, 6), **fields}
    return save(Qualification(person=person or make_person(Role.ENGINEER), **fields))


def make_test_point(visit=None, position=None, **fields):
    visit = visit or make_visit(state=Visit.State.UNDER_WAY, started_at=timezone.now())
    position = position or make_position(visit.building)
    fields = {"code": "function", "title": "Function", "expected": "Zone opens", **fields}
    point = TestPoint(visit=visit, position=position, **fields)
    point.full_clean(exclude=["check_of"])
    point.save()
    return point


def make_result(test_point=None, recorded_by=None, **fields):
    test_point = test_point or make_test_point()
    fields = {"outcome": "pass", "seen_at": timezone.now(), **fields}
    result = save(Result(test_point=test_point, recorded_by=recorded_by or make_person(Role.ENGINEER), **fields))
    test_point.latest_result = result
    test_point.save(update_fields=["latest_result"])
    return result


def make_defect(building=None, visit=None, **fields):
    building = building or (visit and visit.building) or make_building()
    visit = visit or make_visit(building)
    fields = {"severity": Severity.MINOR, "description": "Lamp broken.", **fields}
    fields.setdefault("found_by", make_person(Role.ENGINEER))
    return save(Defect(building=building, found_on=visit, **fields))


def make_setting_found(visit=None, panel=None, **fields):
    """A setting of the panel found as left, unless `answer` says otherwise; a difference gets its defect."""
    panel = panel or make_panel(visit and visit.building)
    visit = visit or make_visit(panel.building, state=Visit.State.UNDER_WAY, started_at=timezone.now())
    fields = {
        "key": f"panel-{panel.pk}-settings_revision",
        "name": "Settings revision",
        "value_left": "1",
        "answer": "as_left",
        **fields,
    }
    fields.setdefault("recorded_by", make_person(Role.ENGINEER))
    if fields["answer"] == "differs":
        fields.setdefault("defect", make_defect(visit.building, visit, position=panel.position))
    return save(SettingFound(visit=visit, panel=panel, **fields))


def make_finished_visit(building=None, outcome="pass", finished_at=None, **fields):
    """A finished inspection with one tested point per position of the building."""
    finished_at = finished_at or days_ago(10)
    fields.setdefault("engineer", make_person(Role.ENGINEER))
    visit = make_visit(
        building,
        state=Visit.State.FINISHED,
        started_at=finished_at,
        finished_at=finished_at,
        planned_on=finished_at.date(),
        **fields,
    )
    for position in visit.building.positions.exclude(kind=DeviceKind.CONTROL_PANEL) or [make_position(visit.building)]:
        make_result(make_test_point(visit, position), visit.engineer, outcome=outcome, seen_at=finished_at)
    return visit


def accept_what_stands(visit=None, job=None, by=None, reason="Agreed with the client."):
    """Accept all that stands of a visit, or of a job, and may be accepted; returns the acceptances."""
    job = job or visit.job
    digests = [one.digest for one in what_stands(job, visit=visit).unaccepted if one.may_be_accepted]
    by = by or make_person()
    return accept_matters(job=job, visit=visit, digests=digests, reason=reason, by=by) if digests else []


def make_certificate(visit=None, issued_by=None, **fields):
    """A certificate made by the service that the office uses; the record is not read for what stands of it."""
    visit = visit or make_finished_visit()
    fields = {
        "issued_on": timezone.localdate(),
        "scope": "All of it.",
        "capacity": "authorised person",
        "record": RecordRead((), ()),
        **fields,
    }
    certificate = issue_certificate(visit=visit, issued_by=issued_by or make_person(), **fields)
    return Certificate.objects.get(pk=certificate.pk)


def make_certificate_due(certificate, next_due_on):
    """The certificate as if it had been issued with another date of the next inspection."""
    statement = {**certificate.statement, "next_due_on": next_due_on.isoformat()}
    changes = {"statement": statement, "digest_sha256": digest_of(statement), "next_due_on": next_due_on}
    rewrite(Certificate.objects.filter(pk=certificate.pk), **changes)
    return Certificate.objects.get(pk=certificate.pk)


def make_hand_over(job=None, to=None, **fields):
    """A hand-over of one file, given to `to`."""
    job, to = job or make_job(), to or make_person(Role.MANAGER)
    fields = {"handed_over_by": make_person(), "handed_over_at": timezone.now(), **fields}
    hand_over = save(HandOver(building=job.building, job=job, to=to, **fields))
    one = make_attachment(job=job)
    HandOverFile.objects.create(
        hand_over=hand_over,
        number=1,
        folder="other",
        title="Note",
        attachment=one,
        file=one.file.name,
        file_name="note.txt",
        media_type=one.media_type,
        size_bytes=one.size_bytes,
        sha256=one.sha256,
    )
    return hand_over


def make_log_entry(building=None, entered_by=None, **fields):
    fields = {"kind": "other", "happened_at": days_ago(1), "seen_by": "Mara Hollin", "what": "Roof swept.", **fields}
    if fields["kind"] == "disablement":
        fields = {"planned_end_at": timezone.now() + timedelta(days=1), "interim_measure": "Hourly patrol.", **fields}
    building = building or make_building()
    return save(LogEntry(building=building, entered_by=entered_by or make_person(Role.MANAGER), **fields))
