"""Protocols: install the standard ones, draft the next version, publish it."""

import tomllib
from decimal import Decimal
from pathlib import Path

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from inspections.models import Protocol, ProtocolCheck, VisitKind
from sites_registry.services.refusals import Refused
from zones.models import DeviceKind

STANDARD_PROTOCOLS = Path(__file__).resolve().parent.parent / "protocols"

# Fields of a check that a new version takes over.
CHECK_FIELDS = (
    "device_kind", "code", "order", "asked_of", "title", "instruction", "expected", "caution", "quantity", "unit",
    "lower_limit", "upper_limit", "limit_source", "is_reading_required",
)  # fmt: skip


class ProtocolRefused(Refused):
    """The protocol cannot be changed or published so."""


@transaction.atomic
def install_standard_protocols():
    """Publish the standard protocol of each kind of visit that has no protocol yet; returns those made.

    A kind that has a protocol, of any version and state, is left alone: the office's own edits win.
    """
    present = set(Protocol.objects.values_list("kind", flat=True))
    return [_install(kind) for kind in VisitKind if kind not in present]


def _install(kind):
    # Decimal, not float: 27.6 V is exactly 27.6 V.
    data = tomllib.loads((STANDARD_PROTOCOLS / f"{kind}.toml").read_text(encoding="utf-8"), parse_float=Decimal)
    protocol = Protocol(
        kind=data["kind"], version=1, title=data["title"], basis=data["basis"],
        state=Protocol.State.PUBLISHED, published_on=timezone.localdate(),
    )  # fmt: skip
    protocol.full_clean()
    protocol.save()
    for order, row in enumerate(data["check"], start=1):
        for device_kind in row["kinds"]:
            check = ProtocolCheck(protocol=protocol, device_kind=DeviceKind(device_kind), order=order, **_fields(row))
            check.full_clean()
            check.save()
    return protocol


def _fields(row):
    return {
        "code": row["code"], "asked_of": row.get("asked_of", ProtocolCheck.AskedOf.EVERY), "title": row["title"],
        "instruction": row.get("instruction", ""), "expected": row["expected"], "caution": row.get("caution", ""),
        "quantity": row.get("quantity", ""), "unit": row.get("unit", ""), "lower_limit": row.get("lower"),
        "upper_limit": row.get("upper"), "limit_source": row.get("source", ""),
        "is_reading_required": row.get("required", False),
    }  # fmt: skip


@transaction.atomic
def draft_next_version(*, protocol):
    """Copy a protocol into a draft of the next version. A draft that stands already is returned instead."""
    versions = Protocol.objects.select_for_update().filter(kind=protocol.kind)
    if draft := versions.filter(state=Protocol.State.DRAFT).order_by("-version").first():
        return draft
    draft = Protocol(
        kind=protocol.kind, version=versions.aggregate(last=Max("version"))["last"] + 1, title=protocol.title,
        basis=protocol.basis,
    )  # fmt: skip
    draft.full_clean()
    draft.save()
    for check in protocol.checks.all():
        ProtocolCheck.objects.create(protocol=draft, **{name: getattr(check, name) for name in CHECK_FIELDS})
    return draft


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
    for former in versions.values():
        if former.state == Protocol.State.PUBLISHED:
            former.state = Protocol.State.WITHDRAWN
            former.row_version += 1
            former._change_reason = f"Version {protocol.version} published"
            former.save(update_fields=["state", "row_version"])
    protocol.state = Protocol.State.PUBLISHED
    protocol.published_on = published_on or timezone.localdate()
    protocol.row_version += 1
    protocol.save(update_fields=["state", "published_on", "row_version"])
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
