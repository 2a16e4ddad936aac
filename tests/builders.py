"""Builders of valid records; each argument may be overridden. Everything lives in an invented town."""

import itertools
from datetime import date, timedelta

from django.utils import timezone

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
from inspections.standing_matters.acceptances import accept_matters
from inspections.standing_matters.matters import RecordRead, what_stands
from sites_registry.access import Role
from sites_registry.models import Building, Client, Contact, HandedOverDocument, Invitation, Job, Person, Variation
from sites_registry.services.people import hash_of
from zones.files.attachments import attach_file
from zones.models import (
    ActuatorCircuit,
    BatterySet,
    Cable,
    CauseAndEffectRule,
    Coincidence,
    ControlPanel,
    Core,
    CoreEnd,
    DataLink,
    DesignBasis,
    DetectionLine,
    DeviceKind,
    Fitting,
    InputDevice,
    InputPort,
    LinkEntry,
    Maker,
    PanelSetting,
    PlaceConfirmation,
    Position,
    ProductModel,
    SmokeZone,
    Terminal,
    Unit,
    Vent,
    VentGroup,
)

_count = itertools.count(1)
PASSWORD = "ropes-and-tar-1907"


def _small_number():
    """A number for a small-integer column: the count of a whole run of tests outgrows it."""
    return next(_count) % 32_000 + 1


def _save(record):
    """Save a valid record; its constraints are left to the database, which holds them: asking twice takes twice."""
    record.full_clean(validate_unique=False, validate_constraints=False)
    record.save()
    return record


def make_person(role=Role.OFFICE, **fields):
    number = next(_count)
    fields = {"email": f"person{number}@tarn.example", "full_name": f"Person {number}", **fields}
    return Person.objects.create_user(password=fields.pop("password", PASSWORD), role=role, **fields)


def make_invitation(invited_by=None, token=None, buildings=(), **fields):
    number = next(_count)
    fields = {
        "email": f"guest{number}@tarn.example",
        "full_name": f"Guest {number}",
        "role": Role.MANAGER,
        "expires_at": timezone.now() + timedelta(days=14),
        **fields,
    }
    token = token or f"token-{number}"
    invitation = _save(Invitation(invited_by=invited_by or make_person(), token_hash=hash_of(token), **fields))
    invitation.buildings.set(buildings)
    return invitation


def make_client(**fields):
    return _save(Client(**{"name": f"Client {next(_count)}", **fields}))


def make_building(client=None, **fields):
    number = next(_count)
    managers = fields.pop("managers", [])
    fields = {"name": f"Building {number}", "slug": f"building-{number}", **fields}
    building = _save(Building(client=client or make_client(), **fields))
    building.managers.set(managers)
    return building


def make_job(building=None, **fields):
    fields = {
        "number": f"J-2026-{next(_count):03}",
        "kind": Job.Kind.SERVICE,
        "scope": "Yearly service.",
        **fields,
    }
    return _save(Job(building=building or make_building(), **fields))


def make_contact(client=None, **fields):
    return _save(Contact(client=client or make_client(), **{"name": f"Contact {next(_count)}", **fields}))


def make_variation(building=None, **fields):
    fields = {
        "what": "Call point at the second stair left out.",
        "why": "Stair is not an escape route.",
        "agreed_by": "Fire officer of Tarn",
        "agreed_on": date(2024, 5, 2),
        **fields,
    }
    return _save(Variation(building=building or make_building(), **fields))


def make_handed_over(job=None, **fields):
    fields = {
        "kind": HandedOverDocument.Kind.INSTRUCTIONS,
        "title": f"Instructions {next(_count)}",
        "handed_over_on": date(2026, 3, 2),
        "handed_over_to": "Mara Hollin",
        **fields,
    }
    return _save(HandedOverDocument(job=job or make_job(), **fields))


def make_product_model(kind=DeviceKind.SMOKE_DETECTOR, maker=None, **fields):
    maker = maker or Maker.objects.get_or_create(name="Tarn Works")[0]
    return _save(ProductModel(maker=maker, kind=kind, **{"name": f"Model {next(_count)}", **fields}))


def make_position(building=None, kind=DeviceKind.SMOKE_DETECTOR, **fields):
    number = next(_count)
    fields = {"tag": f"X-{number:02}", "walking_order": number, **fields}
    return _save(Position(building=building or make_building(), kind=kind, **fields))


def make_panel(building=None, tag=None, **fields):
    building = building or make_building()
    position = make_position(building, DeviceKind.CONTROL_PANEL, tag=tag or f"P{next(_count)}")
    return _save(ControlPanel(building=building, position=position, **fields))


def make_zone(building=None, panel=None, **fields):
    fields = {"number": _small_number(), "name": "Stair", **fields}
    return _save(SmokeZone(building=building or (panel and panel.building) or make_building(), panel=panel, **fields))


def make_circuit(panel=None, **fields):
    return _save(ActuatorCircuit(panel=panel or make_panel(), **{"number": _small_number(), **fields}))


def make_line(panel=None, **fields):
    return _save(DetectionLine(panel=panel or make_panel(), **{"number": _small_number(), **fields}))


def make_data_link(panel=None, **fields):
    return _save(DataLink(panel=panel or make_panel(), **{"number": _small_number(), **fields}))


def make_link_entry(data_link=None, **fields):
    return _save(LinkEntry(data_link=data_link or make_data_link(), **{"place": _small_number(), **fields}))


def make_input_port(panel=None, devices=(), **fields):
    """An input with the devices wired to it, in this order."""
    input_port = _save(InputPort(panel=panel or make_panel(), **{"number": _small_number(), **fields}))
    for order, position in enumerate(devices, start=1):
        _save(InputDevice(input_port=input_port, position=position, order=order))
    return input_port


def make_battery_set(panel=None, **fields):
    fields = {"blocks": 2, "capacity_ah": 12, "fitted_on": date(2024, 4, 8), **fields}
    return _save(BatterySet(panel=panel or make_panel(), **fields))


def make_setting(panel=None, **fields):
    fields = {"name": f"Setting {next(_count)}", "value": "1", **fields}
    return _save(PanelSetting(panel=panel or make_panel(), **fields))


def make_vent(zone=None, **fields):
    return _save(Vent(smoke_zone=zone or make_zone(), **{"tag": f"V{next(_count)}", **fields}))


def make_vent_group(zone=None, **fields):
    return _save(VentGroup(smoke_zone=zone or make_zone(), **{"number": _small_number(), **fields}))


def make_rule(panel=None, **fields):
    fields = {"cause": "device" if "position" in fields else "rain", "effect": "C", **fields}
    return _save(CauseAndEffectRule(panel=panel or make_panel(), **fields))


def make_coincidence(panel=None, positions=(), **fields):
    """Two of two new detectors of the panel's building, unless `positions` says otherwise."""
    panel = panel or make_panel()
    coincidence = _save(Coincidence(panel=panel, **{"name": f"coincidence {next(_count)}", "needed": 2, **fields}))
    coincidence.positions.set(positions or [make_position(panel.building, "smoke_detector") for _ in range(2)])
    return coincidence


def make_design_basis(building=None, **fields):
    fields = {"standby_basis": "en-12101-10-2005-72h", "operations": 2, **fields}
    return _save(DesignBasis(building=building or make_building(), **fields))


def make_terminal(panel=None, position=None, **fields):
    owner = {"position": position} if position else {"panel": panel or make_panel()}
    terminal = Terminal(**owner, **{"block": "X1", "number": str(next(_count)), **fields})
    terminal.building = (terminal.panel or terminal.position).building
    return _save(terminal)


def make_cable(building=None, **fields):
    return _save(Cable(building=building or make_building(), **{"tag": f"W{next(_count)}", **fields}))


def make_core(cable=None, **fields):
    return _save(Core(cable=cable or make_cable(), **{"number": _small_number(), **fields}))


def connect(core, near=None, far=None):
    """Put the ends of a core on terminals."""
    for end, terminal in (("near", near), ("far", far)):
        if terminal:
            _save(CoreEnd(core=core, end=end, terminal=terminal))
    return core


def make_unit(product_model=None, **fields):
    fields = {"serial": f"S-{next(_count):05}", **fields}
    return _save(Unit(product_model=product_model or make_product_model(), **fields))


def fit(position, unit=None, fitted_on=date(2025, 3, 3), **fields):
    unit = unit or make_unit(make_product_model(kind=position.kind))
    return _save(Fitting(position=position, unit=unit, fitted_on=fitted_on, **fields))


def prove_place(fitting, by=None, **fields):
    """The serial of a fitting was read at its place, unless `method` says otherwise."""
    return _save(
        PlaceConfirmation(fitting=fitting, by=by or make_person(Role.ENGINEER), **{"method": "serial", **fields})
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
    protocol = _save(Protocol(kind=kind, **fields))
    _save(
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
        _save(
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
    return _save(Visit(building=building, **fields))


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
    result = _save(Result(test_point=test_point, recorded_by=recorded_by or make_person(Role.ENGINEER), **fields))
    test_point.latest_result = result
    test_point.save(update_fields=["latest_result"])
    return result


def make_defect(building=None, visit=None, **fields):
    building = building or (visit and visit.building) or make_building()
    visit = visit or make_visit(building)
    fields = {"severity": Severity.MINOR, "description": "Lamp broken.", **fields}
    fields.setdefault("found_by", make_person(Role.ENGINEER))
    return _save(Defect(building=building, found_on=visit, **fields))


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
    return _save(SettingFound(visit=visit, panel=panel, **fields))


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
    Certificate.objects.filter(pk=certificate.pk).update(**changes)
    return Certificate.objects.get(pk=certificate.pk)


def make_attachment(content=b"A file kept for tests.", name="note.txt", added_by=None, **owner):
    """A file kept with a record, through the service; give the owner as `building=`, `unit=` …"""
    (field, record), *_ = owner.items() or {"building": make_building()}.items()
    return attach_file(
        owner_field=field, owner=record, name=name, content=content, kind="other", by=added_by or make_person()
    )


def make_hand_over(job=None, to=None, **fields):
    """A hand-over of one file, given to `to`."""
    job, to = job or make_job(), to or make_person(Role.MANAGER)
    fields = {"handed_over_by": make_person(), "handed_over_at": timezone.now(), **fields}
    hand_over = _save(HandOver(building=job.building, job=job, to=to, **fields))
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


def days_ago(days):
    return timezone.now() - timedelta(days=days)


def make_log_entry(building=None, entered_by=None, **fields):
    fields = {"kind": "other", "happened_at": days_ago(1), "seen_by": "Mara Hollin", "what": "Roof swept.", **fields}
    if fields["kind"] == "disablement":
        fields = {"planned_end_at": timezone.now() + timedelta(days=1), "interim_measure": "Hourly patrol.", **fields}
    building = building or make_building()
    return _save(LogEntry(building=building, entered_by=entered_by or make_person(Role.MANAGER), **fields))
