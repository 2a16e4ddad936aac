"""The published schema of the file (JSON Schema, draft 2020-12), which follows from the models.

`building_records_1.json` beside this file is what was published: it stays as it is. Where the models come to say
something else, that is a further version (`tests/inspections/open_records/test_schema.py`).
"""

from pathlib import Path

from django.db import models

from inspections.open_records.tables import TABLES, referred
from inspections.open_records.writing import FORMAT, VERSION

PUBLISHED = Path(__file__).with_name(f"building_records_{VERSION}.json")
LARGEST_NUMBER = 999_999_999
DAY = r"^\d{4}-\d\d-\d\d$"
MOMENT = r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$"
DECIMAL = r"^-?\d{1,20}(\.\d{1,20})?$"
DIGEST = "^[0-9a-f]{64}$"


def schema():
    text = {"type": "string", "maxLength": 500}
    held = {
        "what": {"enum": ["attachment", "certificate", "floor plan", "photograph"]},
        "name": text,
        "size_bytes": {"type": "integer", "minimum": 0},
        "sha256": {"type": "string", "pattern": DIGEST},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Records of a building with natural smoke control",
        "description": (
            "All records of one building. Ids of records of the building are its numbers in the register that wrote "
            "the file; records of the firm are numbered within the file. A field that points to a record holds its id."
        ),
        **_whole(
            {
                "format": {"const": FORMAT},
                "version": {"const": VERSION},
                "schema": text,
                "from": _whole(
                    {"register": text, "written_at": {"type": "string", "pattern": MOMENT}, "written_by": text}
                ),
                "records": _whole({table.name: {"type": "array", "items": _record(table)} for table in TABLES}),
                "files_not_held": {"type": "array", "items": _whole(held)},
            }
        ),
    }


def _whole(properties):
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def _record(table):
    key = {"type": "integer", "minimum": 1, "maximum": LARGEST_NUMBER}
    return _whole({"id": key, **{field.name: _value(field) for field in table.fields}})


def _value(field):
    if to := referred(field):
        told = {"type": "integer", "minimum": 1, "maximum": LARGEST_NUMBER, "description": f"id of {to.name}"}
    else:
        told = _plain_value(field)
    if field.null and told:
        told = {"anyOf": [told, {"type": "null"}]}
    return told


def _plain_value(field):
    match field:
        case models.JSONField():
            return {}
        case models.BooleanField():
            return {"type": "boolean"}
        case models.IntegerField():
            return {"type": "integer"}
        case models.FloatField():
            return {"type": "number"}
        case models.DecimalField():
            return {"type": "string", "pattern": DECIMAL}
        case models.DateTimeField():
            return {"type": "string", "pattern": MOMENT}
        case models.DateField():
            return {"type": "string", "pattern": DAY}
        case models.UUIDField():
            return {"type": "string", "pattern": "^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$"}
    return _text(field)


def _text(field):
    if field.choices:
        blank = [""] if field.blank else []
        return {"enum": sorted({*(str(value) for value, _ in field.flatchoices), *blank})}
    return {"type": "string", **({"maxLength": field.max_length} if field.max_length else {})}
