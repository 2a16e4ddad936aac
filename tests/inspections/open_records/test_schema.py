"""The schema of the file of a building stays what was published."""

import json
import os

from jsonschema import Draft202012Validator

from inspections.open_records.schema import PUBLISHED, schema


def test_the_published_schema_says_what_the_models_say():
    """After a change of a model that was meant, raise VERSION and publish another; APPROVE=1 writes it."""
    if os.environ.get("APPROVE"):
        PUBLISHED.write_text(json.dumps(schema(), indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    assert json.loads(PUBLISHED.read_bytes()) == schema()


def test_the_published_schema_is_a_json_schema():
    """JSON Schema, draft 2020-12: its own schema judges it, by the jsonschema library."""
    Draft202012Validator.check_schema(json.loads(PUBLISHED.read_bytes()))
