"""Ready-made wiring patterns to start from: what is common practice for each kind of device."""

from dataclasses import dataclass

from zones.engineering.wiring.patterns import DEFAULT_PATTERNS
from zones.models import DeviceKind

VARIANTS = {
    "polarity": "third core monitors",
    "addressed": "third core carries data",
    "data link": "on a data link",
    "two-core": "two cores only",
}

EXAMPLE_LINE = "X1:1 line in + 24 V, from the panel"


@dataclass(frozen=True)
class PatternStart:
    """A pattern with the key by which a form names it, the kind it is for, and its words."""

    key: str
    kind: str
    words: str
    text: str


def pattern_starts(kind=""):
    """All starts in the order of the kinds of device, or those of one kind."""
    found = [
        PatternStart(f"{of_kind}-{variant.replace(' ', '-')}".strip("-"), of_kind, _words(of_kind, variant), text)
        for (of_kind, variant), text in DEFAULT_PATTERNS.items()
    ]
    return [start for start in found if not kind or start.kind == kind]


def _words(kind, variant):
    label = DeviceKind(kind).label
    return f"{label}, {VARIANTS[variant]}" if variant else label


def text_of_start(key):
    """The text of a start, "" for a key that is none."""
    return next((start.text for start in pattern_starts() if start.key == key), "")
