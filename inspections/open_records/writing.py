"""The file of a building: read its records into plain data, in an order that is the same each time."""

import json
from datetime import UTC, date, datetime
from decimal import Decimal
from uuid import UUID

from django.conf import settings
from django.db import transaction
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from inspections.models import Certificate, Photo, ProtocolCheck
from inspections.open_records.tables import OF_BUILDING, SHARED, referred
from sites_registry.access import STAFF_ROLES
from sites_registry.models import KeptFile
from zones.models import Attachment, FloorPlan

FORMAT = "building-records"
VERSION = 1
NAMELESS = "@without-address.invalid"  # RFC 2606: never anybody's; stands for an e-mail that a file does not tell


@transaction.atomic
def records_of(building, *, by):
    """All records of a building as JSON takes them, by the published schema `building_records_1.json`.

    Records of the building have the numbers of this register; those of the firm are numbered within the file. Costs a
    fixed number of queries. A manager's file does not tell the e-mails with which the firm's people log in.
    """
    rows = {table.name: _rows(table, building.pk) for table in OF_BUILDING}
    shared = _shared(rows)
    numbers = _numbers(shared)
    tells_emails = by.role in STAFF_ROLES
    tables = {
        table.name: _written(table, shared[table.name], numbers, tells_emails=tells_emails) for table in SHARED
    } | {table.name: _written(table, rows[table.name], numbers) for table in OF_BUILDING}
    return {
        "format": FORMAT,
        "version": VERSION,
        "schema": settings.PUBLIC_URL + reverse("building-records-schema"),
        "from": {"register": settings.PUBLIC_URL, "written_at": plain(timezone.now()), "written_by": str(by)},
        "records": tables,
        "files_not_held": _files_of(building),
    }


def as_json(records):
    """The bytes of the file, one record a line, so that two of them can be compared by any program for texts."""
    head = json.dumps({name: value for name, value in records.items() if name != "records"}, indent=1)
    tables = ",\n".join(
        f" {json.dumps(name)}: [" + ",".join(f"\n  {json.dumps(row, ensure_ascii=False)}" for row in rows) + "]"
        for name, rows in records["records"].items()
    )
    return f'{head[:-2]},\n "records": {{\n{tables}\n }}\n}}\n'.encode()


def plain(value):
    """A value as JSON takes it: days and moments (UTC) by ISO 8601, decimal numbers as texts with all their digits."""
    match value:
        case datetime():
            return value.astimezone(UTC).isoformat(timespec="microseconds")
        case date():
            return value.isoformat()
        case Decimal():
            return format(value, "f")
        case UUID():
            return str(value)
    return value


def _rows(table, building_pk):
    """Key → record, in the order of the keys."""
    return {row.pk: row for row in table.model._base_manager.filter(**{table.path: building_pk}).order_by("pk")}


def _shared(rows):
    """The firm's records that those of the building point to, and all that these point to: table → key → record."""
    wanted = {table.name: set() for table in SHARED}
    for table in OF_BUILDING:
        _note(table, rows[table.name].values(), wanted)
    found = {}
    # The last first: each is read once all that point to it are known.
    for table in reversed(SHARED):
        if table.model is ProtocolCheck:
            wanted[table.name] = _whole_protocols(wanted)
        found[table.name] = table.model._base_manager.in_bulk(wanted[table.name])
        _note(table, found[table.name].values(), wanted)
    return found


def _whole_protocols(wanted):
    """A protocol comes with all its checks, or it would ask less in the other register."""
    named = Q(protocol__in=wanted["protocols"]) | Q(protocol__checks__in=wanted["protocol_checks"])
    return set(ProtocolCheck._base_manager.filter(named).values_list("pk", flat=True))


def _note(table, records, wanted):
    """Note the keys of the firm's records that these point to."""
    pointing = [(field.attname, referred(field).name) for field in table.fields if _is_shared(field)]
    for record in records:
        for attname, name in pointing:
            wanted[name].add(getattr(record, attname))
    for _, name in pointing:
        wanted[name].discard(None)


def _is_shared(field):
    table = referred(field)
    return table is not None and table.is_shared


def _numbers(shared):
    """Table → key → number within the file, by what the records are known by: the same in every register."""
    numbers = {}
    for table in SHARED:
        records = shared[table.name]
        ordered = sorted(records, key=lambda key, table=table, of=records: _known_as(table, of[key], numbers))
        numbers[table.name] = {key: number for number, key in enumerate(ordered, 1)}
    return numbers


def _known_as(table, record, numbers):
    known = []
    for name in table.known_by:
        field = record._meta.get_field(name)
        value = getattr(record, field.attname)
        known.append(f"{numbers[referred(field).name][value]:09}" if referred(field) else str(value).casefold())
    return known


def _written(table, records, numbers, *, tells_emails=True):
    own = numbers.get(table.name)
    written = [_one(table, record, own[key] if own else key, numbers) for key, record in records.items()]
    if table.name == "people":
        for one in written:
            if not tells_emails or one["email"].endswith(NAMELESS):
                one["email"] = ""
    return sorted(written, key=lambda one: one["id"])


def _one(table, record, key, numbers):
    written = {"id": key}
    for field in table.fields:
        value = getattr(record, field.attname)
        if _is_shared(field) and value is not None:
            value = numbers[referred(field).name][value]
        written[field.name] = plain(value)
    return written


def _files_of(building):
    """What is kept of the building as files: what each is, its name, size and digest."""
    attachments = Attachment.objects.filter(
        Q(building=building) | Q(job__building=building) | Q(panel__building=building)
    )
    named = [
        *(("attachment", one.file.name) for one in attachments),
        *(("floor plan", one.file.name) for one in FloorPlan.objects.filter(building=building)),
        *(("photograph", one.file.name) for one in Photo.objects.filter(visit__building=building)),
        *(("certificate", one.pdf.name) for one in Certificate.objects.filter(building=building).exclude(pdf="")),
    ]
    kept = {one.name: one for one in KeptFile.objects.filter(name__in=[name for _, name in named])}
    return [
        {"what": what, "name": name, "size_bytes": kept[name].size_bytes, "sha256": kept[name].sha256}
        for what, name in sorted(named)
        if name in kept
    ]
