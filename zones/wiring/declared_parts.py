"""The parts of a panel's wiring that somebody can declare complete: the panel itself and each of its runs."""

from dataclasses import dataclass

from sites_registry.read_once import read_once
from zones.models import ActuatorCircuit, ControlPanel, DataLink, DetectionLine, InputPort

# By the word that stands in the wiring page's choices; the panel's own part is what is on no run.
PARTS = {
    "panel": ControlPanel,
    "output": ActuatorCircuit,
    "line": DetectionLine,
    "link": DataLink,
    "input": InputPort,
}
WORDS = {"output": "Output", "line": "Line", "link": "Data link", "input": "Input"}


@dataclass(frozen=True)
class DeclaredPart:
    """A part in words; `key` names it in a form; `by` and `on` are None while it is not declared complete."""

    key: str
    name: str
    by: str | None = None
    on: object = None


@dataclass(frozen=True)
class DeclaredParts:
    """The parts shown, and how many of all parts of the panel are declared complete."""

    shown: list
    complete: int
    number: int

    @property
    def is_all(self):
        return self.complete == self.number


@read_once
def records_of(panel):
    """The panel and its runs as pairs of word and record, each with who declared it complete; five queries."""
    found = [("panel", ControlPanel.objects.select_related("wiring_complete_by").get(pk=panel.pk))]
    for word, model in PARTS.items():
        if word != "panel":
            records = model.objects.filter(panel=panel).select_related("wiring_complete_by").order_by("number")
            found += [(word, record) for record in records]
    return found


def declared_parts(panel, chosen=""):
    """All parts, or the run that the wiring page shows ("line-1")."""
    parts, shown = [], []
    for word, record in records_of(panel):
        parts.append(_part(word, record))
        if chosen == f"{word}-{getattr(record, 'number', '')}":
            shown = [parts[-1]]
    return DeclaredParts(shown or parts, sum(part.on is not None for part in parts), len(parts))


def _part(word, record):
    name = (
        f"{WORDS[word]} {record.number} {record.name}".strip()
        if word != "panel"
        else "Mains, battery and what is on no run"
    )
    by = record.wiring_complete_by
    return DeclaredPart(f"{word}-{record.pk}", name, by and by.full_name, record.wiring_complete_on)
