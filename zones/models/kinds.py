"""Kinds of device: shared by positions (what a place needs) and product models (what a unit is).

What is known of each stands in `engineering/device_kinds.py`, of which the choices are made. Code asks for a fact; it
names a kind only where that kind has records of its own: a panel, the battery blocks of a set, a box on a cable.
"""

from collections.abc import Callable

from django.db import models

from zones.engineering.cause_and_effect.rules import InputKind
from zones.engineering.device_kinds import KINDS
from zones.engineering.kind_facts import KindFacts


class _WithFacts(models.TextChoices):
    @property
    def facts(self) -> KindFacts:
        return KINDS[self.value]


DeviceKind = _WithFacts(
    "DeviceKind", [(facts.value.upper(), (facts.value, facts.label)) for facts in KINDS.values()], module=__name__
)


def choices_of_kinds():
    """For the fields of models: named in a migration, so that a further kind needs none."""
    return DeviceKind.choices


def label_of(kind: str) -> str:
    """The word for a kind. The field's own way makes all its choices anew for every row of a list."""
    return KINDS[kind].label if kind in KINDS else kind


def facts_of(kind: str) -> KindFacts:
    """What the register knows of a kind, by its stored value."""
    return KINDS[kind]


def kinds_where(is_so: Callable[[KindFacts], bool]) -> tuple[DeviceKind, ...]:
    """The kinds whose facts are so, in the order of the table."""
    return tuple(kind for kind in DeviceKind if is_so(kind.facts))


# A junction box is a place with terminals: it has no unit with a serial, no figures and nothing to test.
WITHOUT_UNIT = kinds_where(lambda facts: not facts.has_unit)
DRIVES = kinds_where(lambda facts: facts.moves_vents)
CALL_POINTS = kinds_where(lambda facts: facts.input_kind is InputKind.CALL_POINT)


class Drive(models.TextChoices):
    ADDRESSED = "addressed", "addressed"
    POLARITY = "polarity", "polarity"


class EndPlace(models.TextChoices):
    """Where the end-of-line resistor or module of a monitored line, input or output sits."""

    LAST_DEVICE = "last_device", "at the last device"
    IN_BOX = "in_box", "in a junction box"
    PANEL_TERMINAL = "panel_terminal", "at its own terminals (unused)"
    MISSING = "missing", "missing"
    NONE_NEEDED = "none_needed", "none needed"


def with_article(words: str) -> str:
    """Put the article before a kind of device: "actuator" → "an actuator", "smoke detector" → "a smoke detector"."""
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"
