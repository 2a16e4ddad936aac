"""Who changed what and when: the one place that says how a model keeps its history."""

from datetime import date
from decimal import Decimal

from django.conf import settings
from django.utils import timezone
from django.utils.formats import date_format
from simple_history.models import HistoricalRecords

from sites_registry.row_groups import in_groups


def kept_history(**options):
    """History of a model a certificate could rest on; django-simple-history does the recording."""
    return HistoricalRecords(history_user_id_field=None, user_model=settings.AUTH_USER_MODEL, **options)


CHANGES_SHOWN = 50


def changes_of(record, *, leave_out=("row_version",), limit=CHANGES_SHOWN):
    """The newest changes of a record: dicts of `when`, `who`, `why`, `is_first` and `what`, a list of (label, before,
    after), as `by_day_and_person` groups them.

    Costs one query, and one per kind of related record that changed, however many changes there are.
    """
    # One more than is shown: the last one is only compared with.
    rows = list(record.history.select_related("history_user").order_by("-history_date", "-history_id")[: limit + 1])
    fields = [
        field
        for field in record._meta.concrete_fields
        if field.name not in leave_out and not field.primary_key and hasattr(rows[0] if rows else record, field.attname)
    ]
    pairs = [(row, rows[place + 1] if place + 1 < len(rows) else None) for place, row in enumerate(rows[:limit])]
    related = _related_records(pairs, fields)
    changes = [
        {
            "when": row.history_date,
            "who": row.history_user,
            "why": row.history_change_reason or "",
            "is_first": row.history_type == "+",
            "what": [
                (str(field.verbose_name), _in_words(before, field, related), _in_words(row, field, related))
                for field in fields
                if before is not None and getattr(before, field.attname) != getattr(row, field.attname)
            ],
        }
        for row, before in pairs
    ]
    return by_day_and_person(changes)


def by_day_and_person(changes):
    """Changes that `templates/components/changes.html` shows: with the `head` above each, (day, who), where several
    share it, and `says_who` where the row says it itself."""
    grouped = in_groups(changes, lambda change: (timezone.localtime(change["when"]).date(), change["who"]))
    return [change | {"head": head, "says_who": says_who} for change, head, says_who in grouped]


def _related_records(pairs, fields):
    """Records that the changed relations point to, by field and key."""
    found = {}
    for field in fields:
        if field.related_model is None:
            continue
        keys = set()
        for row, before in pairs:
            if before is not None and getattr(before, field.attname) != getattr(row, field.attname):
                keys |= {getattr(before, field.attname), getattr(row, field.attname)}
        if keys := keys - {None}:
            found[field.name] = field.related_model._base_manager.in_bulk(keys)
    return found


def _in_words(row, field, related):
    value = getattr(row, field.attname)
    if value in (None, ""):
        return "–"
    if field.related_model is not None:
        return str(related.get(field.name, {}).get(value, "no longer there"))
    if field.choices:
        return dict(field.flatchoices).get(value, value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return date_format(value)
    return f"{value.normalize():f}" if isinstance(value, Decimal) else value
