"""Take a building over from its file: what of it is in this register already, then all of it in one transaction.

Records of the building keep their numbers, because papers, labels and frozen records name them: a file is taken over
only where none of them is taken. Records of the firm are found by what they are known by.
"""

import hashlib
import re
import zlib
from dataclasses import dataclass, field

from django.contrib.auth.hashers import make_password
from django.db import IntegrityError, connection, models, transaction
from django.db.models.functions import Upper
from django.utils import timezone

from inspections.ledger.entering import enter_what_lacks
from inspections.models import BuildingFile
from inspections.open_records.reading import NotTakenOver, known_as, read_file
from inspections.open_records.tables import OF_BUILDING, SHARED, referred
from inspections.open_records.writing import NAMELESS
from sites_registry.models import Building
from sites_registry.services.numbers import count_on_from
from zones.models import Fitting

MOST_NAMED = 5
ROWS_AT_ONCE = 500
REASON = "Taken over from a file"
NUMBERED = (  # table, how a number reads, of which series it is
    ("certificates", re.compile(r"^(\d{4})-(\d+)$"), "certificate {}"),
    ("jobs", re.compile(r"^J-(\d{4})-(\d+)$"), "job-{}"),
)


@dataclass
class Found:
    """What of a file is in this register already: faults forbid to take it over, notes say what stays as it is here.

    `here` is table → key of the file → record of this register, of the firm's records that are found.
    """

    faults: list = field(default_factory=list)
    notes: list = field(default_factory=list)
    here: dict = field(default_factory=dict)


def stage(*, name, content, by):
    """Keep an uploaded file until somebody decides; the same file again is the one that waits."""
    digest = hashlib.sha256(content).hexdigest()
    waiting = BuildingFile.objects.filter(sha256=digest, building=None).first()
    return waiting or BuildingFile.objects.create(
        name=name[:200], sha256=digest, content=zlib.compress(content), uploaded_by=by
    )


def looked_at(file):
    """(the records, what of them is here already). Raises NotTakenOver where the file itself is wrong."""
    read = read_file(zlib.decompress(bytes(file.content)))
    return read, found_here(read)


def found_here(read):
    found = Found()
    same = Building.objects.filter(slug=read.building.slug) | Building.objects.filter(
        client__name__iexact=read.client_name, name__iexact=read.building.name
    )
    if same.exists():
        found.faults.append(
            f"{read.building.name} is in this register already. A file never changes a building that is there."
        )
        return found
    for table in SHARED:
        _find(table, read.records[table.name], found)
    for table in OF_BUILDING:
        found.faults += _taken_numbers(table, read.records[table.name])
        found.faults += _taken_values(table, read.records[table.name])
    found.faults += _fitted_elsewhere(read, found)
    return found


def _find(table, records, found):
    """Records of the firm that are here: the same ones are used, others are a fault or a note."""
    here = found.here[table.name] = {}

    def key_here(one, key):
        other = found.here[referred(one).name].get(key)
        return other.pk if other else f"not here: {key}"

    there = _like(table, records.values())
    for key, record in records.items():
        known = known_as(table, record, key_here)
        if existing := there.get(known):
            here[key] = existing
            _compare(table, record, existing, key_here, found)


def _like(table, records):
    """Known as → record of this register, of those with the same last name, number or code."""
    last = table.model._meta.get_field(table.known_by[-1])
    values = {getattr(record, last.attname) for record in records}
    if isinstance(last, models.CharField):
        rows = table.model._base_manager.alias(known=Upper(last.name)).filter(known__in={v.upper() for v in values})
    else:
        rows = table.model._base_manager.filter(**{f"{last.name}__in": values})
    return {known_as(table, row, lambda one, key: key): row for row in rows}


def _compare(table, record, existing, key_here, found):
    differing = []
    for one in table.fields:
        told, is_here = getattr(record, one.attname), getattr(existing, one.attname)
        if referred(one) and told is not None:
            told = key_here(one, told)
        if one.name not in table.known_by and told != is_here:
            differing.append(one)
    word = f"{table.model._meta.verbose_name.capitalize()} “{existing}”"
    if grave := [one for one in differing if one.name not in table.kept_here]:
        one = grave[0]
        found.faults.append(
            f"{word} is another in this register: {one.verbose_name} is {getattr(existing, one.attname)!s:.60} here "
            f"and {getattr(record, one.attname)!s:.60} in the file. Make them the same, then take it over."
        )
    elif differing:
        words = ", ".join(f"{one.verbose_name} (in the file: {_said(record, one)})" for one in differing)
        under = f" What they did stands under “{existing}”." if table.name == "people" else ""
        found.notes.append(f"{word} is in this register already and stays as it is here: {words}.{under}")


def _said(record, one):
    value = getattr(record, one.attname)
    return "nothing" if value in (None, "") else f"{value!s:.60}"


def _taken_numbers(table, records):
    taken = sorted(table.model._base_manager.filter(pk__in=records).values_list("pk", flat=True))
    if taken:
        yield (
            f"{_listed(taken)} of {table.name.replace('_', ' ')} in the file: other records of this register have "
            "these numbers. Papers and frozen records name them, so they are not given anew; take the file over in a "
            "register where they are free."
        )


def _taken_values(table, records):
    for one in table.fields:
        if not one.unique or referred(one):
            continue
        values = {getattr(record, one.attname) for record in records.values()} - {None}
        taken = table.model._base_manager.filter(**{f"{one.name}__in": values}).values_list(one.name, flat=True)
        if taken := sorted(map(str, taken)):
            of = table.name.replace("_", " ")
            yield f"{str(one.verbose_name).capitalize()} {_listed(taken)} of {of}: taken here."


def _listed(values):
    shown = ", ".join(map(str, values[:MOST_NAMED]))
    return shown if len(values) <= MOST_NAMED else f"{shown} and {len(values) - MOST_NAMED} more"


def _fitted_elsewhere(read, found):
    units = {unit.pk for unit in found.here.get("units", {}).values()}
    wanted = {
        found.here["units"][one.unit_id].pk
        for one in read.records["fittings"].values()
        if one.removed_on is None and one.unit_id in found.here["units"]
    }
    for one in Fitting.objects.filter(unit__in=wanted & units, removed_on=None).select_related("unit", "position"):
        yield f"Unit {one.unit} is fitted at {one.position} in {one.position.building}. Take it off there first."


def take_over(*, file, by):
    """The building of a file, stored with all its records, or nothing changed. Twice, it returns the one it stored.

    Raises NotTakenOver.
    """
    try:
        with transaction.atomic():
            file = BuildingFile.objects.select_for_update(of=("self",)).get(pk=file.pk)
            return file.building or _store(file, by)
    except IntegrityError as error:
        raise NotTakenOver(_rule_broken(error)) from error


def _store(file, by):
    read, found = looked_at(file)
    if found.faults:
        raise NotTakenOver(*found.faults)
    for table in SHARED:
        _store_shared(table, read, found, file, by)
    for table in OF_BUILDING:
        _relate(table, read.records[table.name].values(), found)
        _insert(table, list(read.records[table.name].values()), by)
    _count_on(read)
    building = read.building
    enter_what_lacks(building)
    file.building, file.taken_over_by, file.taken_over_at = building, by, timezone.now()
    file.content = b""
    file.save()
    return building


def _store_shared(table, read, found, file, by):
    here, records = found.here[table.name], read.records[table.name]
    new = {key: record for key, record in records.items() if key not in here}
    _relate(table, new.values(), found)
    if table.name == "people":
        for key, person in new.items():
            _without_log_in(person, f"person-{key:06}-{file.sha256[:12]}")
    _insert(table, list(new.values()), by)
    here.update(new)


def _without_log_in(person, instead):
    person.is_active, person.password = False, make_password(None)
    person.email = person.email.lower() or f"{instead}{NAMELESS}"


def _relate(table, records, found):
    """Give relations to the firm's records the keys of this register; those within the building keep theirs."""
    pointing = [one for one in table.fields if referred(one) and referred(one).is_shared]
    for record in records:
        for one in pointing:
            if (key := getattr(record, one.attname)) is not None:
                setattr(record, one.attname, found.here[referred(one).name][key].pk)


def _insert(table, records, by):
    table.model._base_manager.bulk_create(records, batch_size=ROWS_AT_ONCE)
    if hasattr(table.model, "history"):
        table.model.history.bulk_history_create(
            records, batch_size=ROWS_AT_ONCE, default_user=by, default_change_reason=REASON
        )
    if records and connection.vendor == "postgresql" and not table.is_shared:
        _count_keys_on(table.model, max(record.pk for record in records))


def _count_keys_on(model, largest):
    """PostgreSQL counts keys apart from the rows; SQLite goes by the largest."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_get_serial_sequence(%s, %s)", [model._meta.db_table, model._meta.pk.column])
        (sequence,) = cursor.fetchone()
        cursor.execute(  # the name is the database's own
            f"SELECT setval(%s, GREATEST(%s, (SELECT last_value FROM {sequence})))",  # noqa: S608
            [sequence, largest],
        )


def _count_on(read):
    for name, form, series in NUMBERED:
        for record in read.records[name].values():
            if parts := form.match(record.number):
                count_on_from(series=series.format(parts[1]), number=int(parts[2]))
    revisions = [one.number for one in read.records["as_installed_revisions"].values()]
    count_on_from(series=f"as-installed-{read.building.pk}", number=max(revisions, default=0))


def _rule_broken(error):
    """The sentence of the rule that the database held against a record of the file."""
    text = str(error)
    for table in (*SHARED, *OF_BUILDING):
        for rule in table.model._meta.constraints:
            if rule.name in text:
                return f"A record of {table.name.replace('_', ' ')} breaks a rule: {rule.violation_error_message}"
    return f"The file breaks a rule of the database ({' '.join(text.split())[:160]}). Nothing was changed."
