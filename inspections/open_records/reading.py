"""Read the file of a building: what is wrong with it by itself, in sentences with the place in the file."""

import json
from dataclasses import dataclass, field
from functools import lru_cache

from django.core.exceptions import ValidationError
from jsonschema import Draft202012Validator

from inspections.certificates.issue import is_intact
from inspections.open_records.schema import PUBLISHED
from inspections.open_records.tables import TABLES, referred
from inspections.open_records.writing import FORMAT, VERSION
from sites_registry.services.refusals import Refused
from sites_registry.words import counted

MOST_TOLD = 20
MOST_OF_A_VALUE = 120  # characters of what stands in the file that a sentence repeats


class NotTakenOver(Refused):
    """The file is not what this register takes over; nothing was changed."""


@dataclass
class BuildingRecords:
    """A file that is whole by itself: `rows` by table as they stand in it, `records` by table and key, not stored.

    Relations of the records hold the keys of the file until `taking_over` gives them those of this register.
    """

    rows: dict
    files_not_held: list
    written_by: str
    register: str
    written_at: str
    records: dict = field(default_factory=dict)

    @property
    def building(self):
        return next(iter(self.records["buildings"].values()))

    @property
    def client_name(self):
        return self.records["clients"][self.building.client_id].name

    def counts(self):
        return [(table.name.replace("_", " "), len(self.rows[table.name])) for table in TABLES if self.rows[table.name]]


def read_file(content):
    """The records in the bytes of a file. Raises NotTakenOver with what is wrong, each with its place in the file."""
    told = _parsed(content)
    _check_version(told)
    _refuse(_against_the_schema(told))
    origin = told["from"]
    found = BuildingRecords(
        told["records"], told["files_not_held"], origin["written_by"], origin["register"], origin["written_at"]
    )
    _refuse(_keys_of(found.rows))
    found.records, faults = _made(found.rows)
    _refuse(faults)
    _refuse(_frozen(found.records))
    return found


def _refuse(faults):
    if faults:
        more = len(faults) - MOST_TOLD
        also = [f"The file has {counted(more, 'more faults')} of this kind."] if more > 0 else []
        raise NotTakenOver(*faults[:MOST_TOLD], *also)


def _parsed(content):
    try:
        told = json.loads(content.decode("utf-8-sig"), parse_constant=_no_number)
        json.dumps(told, ensure_ascii=False).encode()  # half a sign: no database takes it
    except (ValueError, RecursionError) as error:
        where = f" It breaks off at line {error.lineno}." if isinstance(error, json.JSONDecodeError) else ""
        raise NotTakenOver(f"The file is not JSON in UTF-8.{where} Export the building again.") from error
    if "\\u0000" in content.decode("utf-8-sig"):
        raise NotTakenOver("The file holds a sign without meaning (U+0000). Take it out where it was typed.")
    return told


def _no_number(text):
    raise ValueError(f"{text} is no number")


def _check_version(told):
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise NotTakenOver(f"The file does not say that its format is “{FORMAT}”. Export the building as JSON.")
    if told.get("version") != VERSION:
        raise NotTakenOver(
            f"The file is of version {_short(told.get('version'))}; this register reads version {VERSION}. "
            "Export it from a register of the same version."
        )


@lru_cache(maxsize=1)
def _validator():
    return Draft202012Validator(json.loads(PUBLISHED.read_bytes()))


def _against_the_schema(told):
    faults = []
    for error in _validator().iter_errors(told):
        inner = error.context[0] if error.context else error
        faults.append(f"{_place(error.absolute_path)}: {_short(inner.message)}.")
        if len(faults) > 10 * MOST_TOLD:
            break
    return faults


def _place(path):
    return "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in path).lstrip(".") or "the file"


def _short(value):
    text = " ".join(str(value).split())
    return text if len(text) <= MOST_OF_A_VALUE else f"{text[:MOST_OF_A_VALUE]} …"


def _keys_of(rows):
    """Faults of keys: given twice, pointing to nothing, more than one building."""
    keys = {name: {row["id"] for row in of_table} for name, of_table in rows.items()}
    faults = [f"records.{name}: an id is given twice." for name in rows if len(keys[name]) != len(rows[name])]
    if len(rows["buildings"]) != 1:
        faults.append(f"records.buildings: the file holds {len(rows['buildings'])} buildings; it has to hold one.")
    for table in TABLES:
        pointing = [(one.name, referred(one).name) for one in table.fields if referred(one)]
        for place, row in enumerate(rows[table.name]):
            faults += [
                f"records.{table.name}[{place}].{name}: {row[name]} is no id of records.{to}."
                for name, to in pointing
                if row[name] is not None and row[name] not in keys[to]
            ]
    return faults


def _made(rows):
    """Table → key → record, and what no field takes."""
    made, faults = {}, []
    for table in TABLES:
        made[table.name] = {}
        for place, row in enumerate(rows[table.name]):
            values = {} if table.is_shared else {table.model._meta.pk.attname: row["id"]}
            for one in table.fields:
                try:
                    values[one.attname] = _value(one, row[one.name])
                except ValidationError as error:
                    faults.append(f"records.{table.name}[{place}].{one.name}: {' '.join(error.messages)}")
            made[table.name][row["id"]] = table.model(**values)
    return made, faults


def _value(one, told):
    if told is None or referred(one):
        return told
    value = one.to_python(told)
    one.run_validators(value)
    return value


def _frozen(records):
    """Statements that are not those which were issued or taken, by the digest beside them."""
    return [
        f"Certificate {one.number} does not say what it said when it was issued: its digest is another."
        for one in records["certificates"].values()
        if not is_intact(one)
    ] + [
        f"The as-installed revision {one.number} does not hold what was taken: its digest is another."
        for one in records["as_installed_revisions"].values()
        if not one.is_unaltered
    ]


def known_as(table, record, key_of):
    """What a record of the firm is known by, in small letters; `key_of(field, key)` gives the key of a relation."""
    known = []
    for name in table.known_by:
        one = record._meta.get_field(name)
        value = getattr(record, one.attname)
        known.append(key_of(one, value) if referred(one) else str(value).casefold())
    return tuple(known)
