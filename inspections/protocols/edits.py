"""Protocols: install the standard ones, draft the next version, publish it."""

import tomllib
from decimal import Decimal
from pathlib import Path

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from simple_history.utils import bulk_create_with_history

from inspections.models import Protocol, ProtocolCheck, VisitKind
from inspections.models.protocols import DoneBy, Interval
from sites_registry.services.refusals import Refused
from zones.engineering.hazards import hazards_text
from zones.models import DeviceKind
from zones.models.kinds import kinds_where

STANDARD_PROTOCOLS = Path(__file__).resolve().parent

# Fields of a check that a new version takes over.
CHECK_FIELDS = (
    "device_kind",
    "code",
    "order",
    "asked_of",
    "interval",
    "done_by",
    "is_spread",
    "title",
    "instruction",
    "expected",
    "caution",
    "hazards",
    "quantity",
    "unit",
    "lower_limit",
    "upper_limit",
    "within_percent_of_first",
    "limit_source",
    "is_reading_required",
)


class ProtocolRefused(Refused):
    """The protocol cannot be changed or published so."""


@transaction.atomic
def install_standard_protocols():
    """Publish the standard protocol of each kind of visit that lacks its present edition; returns those made.

    A kind whose protocol is the office's own, or has a draft, is left alone: the office's own edits win. An earlier
    edition of the standard is followed by a new version; visits that started by it keep what they asked.
    """
    return [made for kind in VisitKind if (made := _install(kind))]


def _install(kind):
    data = _standard(kind)
    versions = list(Protocol.objects.select_for_update().filter(kind=kind))
    if not all(_is_earlier_standard(one, data) for one in versions):
        return None
    protocol = Protocol(
        kind=data["kind"],
        version=max((one.version for one in versions), default=0) + 1,
        title=data["title"],
        basis=data["basis"],
        standard_edition=data["edition"],
    )
    protocol.full_clean()
    protocol.save()
    _add_checks(protocol, data)
    return publish_protocol(protocol=protocol)


def _standard(kind):
    # Decimal, not float: 27.6 V is exactly 27.6 V.
    return tomllib.loads((STANDARD_PROTOCOLS / f"{kind}.toml").read_text(encoding="utf-8"), parse_float=Decimal)


def _is_earlier_standard(protocol, data):
    return protocol.state != Protocol.State.DRAFT and 0 < protocol.standard_edition < data["edition"]


def _add_checks(protocol, data):
    checks = [
        ProtocolCheck(protocol=protocol, device_kind=DeviceKind(device_kind), order=order, **_fields(row))
        for order, row in enumerate(data["check"], start=1)
        for device_kind in _kinds_of(row)
    ]
    for check in checks:
        # What holds between rows is left to the database: asking it for each of hundreds takes most of a second.
        check.full_clean(validate_unique=False, validate_constraints=False)
    bulk_create_with_history(checks, ProtocolCheck)


def _kinds_of(row):
    """Kinds of device that a check is asked of; "every" is every kind that has a unit."""
    return kinds_where(lambda facts: facts.has_unit) if row["kinds"] == ["every"] else row["kinds"]


def _fields(row):
    return {
        "code": row["code"],
        "asked_of": row.get("asked_of", ProtocolCheck.AskedOf.EVERY),
        "interval": row.get("interval", Interval.YEARLY),
        "done_by": row.get("done_by", DoneBy.ENGINEER),
        "is_spread": row.get("spread", False),
        "title": row["title"],
        "instruction": row.get("instruction", ""),
        "expected": row["expected"],
        "caution": row.get("caution", ""),
        "hazards": hazards_text(row["hazards"]),
        "quantity": row.get("quantity", ""),
        "unit": row.get("unit", ""),
        "lower_limit": row.get("lower"),
        "upper_limit": row.get("upper"),
        "within_percent_of_first": row.get("within_percent_of_first"),
        "limit_source": row.get("source", ""),
        "is_reading_required": row.get("required", False),
    }


@transaction.atomic
def draft_next_version(*, protocol):
    """Copy a protocol into a draft of the next version. A draft that stands already is returned instead.

    A check that states no hazards takes those of the same check in the standard protocol, where there is one.
    """
    versions = Protocol.objects.select_for_update().filter(kind=protocol.kind)
    if draft := versions.filter(state=Protocol.State.DRAFT).order_by("-version").first():
        return draft
    draft = Protocol(
        kind=protocol.kind,
        version=versions.aggregate(last=Max("version"))["last"] + 1,
        title=protocol.title,
        basis=protocol.basis,
    )
    draft.full_clean()
    draft.save()
    hazards = _hazards_of_standard(protocol.kind)
    checks = []
    for check in protocol.checks.all():
        values = {name: getattr(check, name) for name in CHECK_FIELDS}
        values["hazards"] = check.hazards or hazards.get((check.device_kind, check.code), "")
        checks.append(ProtocolCheck(protocol=draft, **values))
    bulk_create_with_history(checks, ProtocolCheck)
    return draft


def _hazards_of_standard(kind):
    rows = _standard(kind)["check"]
    return {(device, row["code"]): hazards_text(row["hazards"]) for row in rows for device in _kinds_of(row)}


@transaction.atomic
def publish_protocol(*, protocol, published_on=None):
    """Put a draft in force and withdraw the version before. Asked twice, it changes nothing. Raises ProtocolRefused."""
    # All versions of the kind are locked, so that two publications cannot cross.
    versions = {version.pk: version for version in Protocol.objects.select_for_update().filter(kind=protocol.kind)}
    protocol = versions[protocol.pk]
    if protocol.state == Protocol.State.PUBLISHED:
        return protocol
    if protocol.state == Protocol.State.WITHDRAWN:
        raise ProtocolRefused(f"{protocol} was withdrawn. Make a new version instead.")
    if not protocol.checks.exists():
        raise ProtocolRefused(f"{protocol} has no checks. Add some first.")
    if unstated := protocol.checks.filter(hazards="").first():
        raise ProtocolRefused(
            f"The check '{unstated}' ({unstated.get_device_kind_display()}) does not say what can hurt at it. "
            "Change it: tick its hazards, or 'none of these'."
        )
    for former in versions.values():
        if former.state == Protocol.State.PUBLISHED:
            former.state = Protocol.State.WITHDRAWN
            former._change_reason = f"Version {protocol.version} published"
            former.save(update_fields=["state"])
    protocol.state = Protocol.State.PUBLISHED
    protocol.published_on = published_on or timezone.localdate()
    protocol.save(update_fields=["state", "published_on"])
    return protocol


@transaction.atomic
def remove_check(*, check):
    """Take a check out of a draft. Raises ProtocolRefused for any other state."""
    require_draft(Protocol.objects.select_for_update().get(pk=check.protocol_id))
    check.delete()


def require_draft(protocol):
    """Raise ProtocolRefused unless the protocol is a draft: what visits were tested by never changes."""
    if protocol.state != Protocol.State.DRAFT:
        raise ProtocolRefused(
            f"{protocol} is {protocol.get_state_display()} and never changes. Make a new version and change that."
        )
