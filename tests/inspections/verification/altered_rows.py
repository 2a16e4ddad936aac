"""Rows of evidence altered one after the other, at seeded places, as an owner of the database might."""

import random
from datetime import timedelta
from uuid import uuid4

from django.db import DataError, IntegrityError

from inspections.models import Certificate, LedgerEntry, LogEntry, Result, SignOff
from inspections.verification.running import verify_register
from tests import builders
from tests.evidence import evidence_lifted

NOT_EVIDENCE = {"pdf", "submission_key"}  # of a certificate: where its paper lies, which form it came from


def rows_altered(number, seed):
    """Alter so many (model, key, field), each while the caller has it, and put it back; rules of the database hold."""
    places = [
        (model, row.pk, field)
        for model in (Result, Certificate, SignOff, LogEntry, LedgerEntry)
        for row in _rests_on(model)
        for field in model._meta.concrete_fields
        if not field.primary_key and not field.is_relation and field.name not in NOT_EVIDENCE
    ]
    rng, done = random.Random(seed), 0
    while done < number:
        model, key, field = rng.choice(places)
        rows = model._base_manager.filter(pk=key)
        kept = rows.values_list(field.name, flat=True).get()
        if _set(model, rows, field, _another(kept, field)):
            done += 1
            yield model.__name__, key, field.name
            assert _set(model, rows, field, kept)


def not_told(altered):
    """Those of which `verify_register` says nothing."""
    return [place for place in altered if not verify_register().faults]


def _rests_on(model):
    rows = model._base_manager.all()
    if model is Result:  # of those that neither certificate nor sign-off rests on nothing is said
        return rows.filter(test_point__visit__in=Certificate.objects.values("visit"))
    return rows


def _set(model, rows, field, value):
    try:
        with evidence_lifted(model._meta.db_table):
            rows._update([(field, None, value)])
    except (DataError, IntegrityError):
        return False
    return True


def _another(value, field):
    """A value of the same kind that says something else."""
    kind = field.get_internal_type()
    if kind in ("DateTimeField", "DateField"):
        return (value or builders.days_ago(5)) - timedelta(days=1)
    if kind == "JSONField":
        return {**value, "added": "by somebody"} if isinstance(value, dict) else ["by somebody"]
    if kind == "UUIDField":
        return uuid4()
    if kind == "BooleanField":
        return not value
    return f"{value}9" if isinstance(value, str) else (value or 0) + 1
