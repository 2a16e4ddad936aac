"""Settings that are fields of records: put a value that was found at the panel into the record, with its history."""

from django.core.exceptions import ValidationError
from django.db import models, transaction

from sites_registry.services.refusals import Refused
from zones.models import ActuatorCircuit, ControlPanel, DataLink, DetectionLine, InputPort, LinkEntry, PanelSetting
from zones.panel_settings.sheet import CODE_CHANGED

# Which settings are fields, by the owner in the key of a line; the others follow from rules, devices and zones.
FIELDS_OF = {
    "panel": (
        ControlPanel,
        (
            "settings_revision",
            "operation",
            "gap_s",
            "stagger_s",
            "charger_inhibited",
            "after_reset",
            "access_code_changed",
        ),
    ),
    "setting": (PanelSetting, ("value",)),
    "circuit": (
        ActuatorCircuit,
        (
            "drive",
            "expected_actuators",
            "found_actuators",
            "current_limit_a",
            "run_time_s",
            "delay_s",
            "sequence_step",
            "monitored_by",
            "end_place",
        ),
    ),
    "line": (DetectionLine, ("end_of_line_ohm", "end_place")),
    "link": (DataLink, ("when_broken",)),
    "entry": (LinkEntry, ("serial", "number_given")),
    "input": (InputPort, ("function", "long_press", "short_press", "end_of_line_ohm", "end_place")),
}


class SettingRefused(Refused):
    """The found value cannot be taken over."""


def is_stored(key):
    """Whether the setting of this key (SettingLine.key) is a field of a record."""
    owner, _, field = _parts(key)
    return owner in FIELDS_OF and field in FIELDS_OF[owner][1]


@transaction.atomic
def store_setting(*, panel, key, text, unit="", by, reason):
    """Put `text`, as a person found it at the panel, into the field that the setting of `key` is; returns the record.

    Raises SettingRefused: it is no stored field, its record is gone, or the text is no value of it.
    """
    if not is_stored(key):
        raise SettingRefused("This setting is no figure of its own. Change the rules, the devices or the zone instead.")
    owner, record_key, name = _parts(key)
    model = FIELDS_OF[owner][0]
    of_panel = {"data_link__panel": panel} if model is LinkEntry else {"panel": panel}
    lookup = {"pk": record_key} if model is ControlPanel else {"pk": record_key, **of_panel}
    record = model.objects.select_for_update(of=("self",)).filter(**lookup).first()
    if record is None or (model is ControlPanel and record.pk != panel.pk):
        raise SettingRefused("This setting is no longer on record. Look at the settings sheet of the panel.")
    setattr(record, name, _value_of(record._meta.get_field(name), text, unit))
    if model is PanelSetting:
        record.set_by = record.set_on = None  # they stood for the value before
    try:
        record.full_clean()
    except ValidationError as error:
        raise SettingRefused(*error.messages) from error
    record._history_user, record._change_reason = by, reason[:100]
    record.save()
    return record


def _parts(key):
    parts = key.split("-", 2)
    return parts if len(parts) == 3 else ("", "", "")


def _value_of(field, text, unit):
    """The text as a value of the field: a word of its choices, a figure with or without its unit, or the text."""
    text = text.strip()
    if isinstance(field, models.BooleanField):
        return text in ("yes", CODE_CHANGED)
    if field.choices:
        found = next((value for value, word in field.choices if str(word).casefold() == text.casefold()), None)
        if found is None:
            raise SettingRefused(f"'{text}' is none of: {', '.join(str(word) for _, word in field.choices)}.")
        return found
    if isinstance(field, models.CharField):
        return text
    figure = text.removesuffix(unit).strip().replace(",", ".") if unit else text.replace(",", ".")
    try:
        return field.to_python(figure)
    except ValidationError as error:
        raise SettingRefused(
            f"'{text}' is not a figure that this setting takes. Change the record by its form instead."
        ) from error
