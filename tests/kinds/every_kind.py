"""One building with a device of every kind of the table, brought in by a list in the words of the trade."""

from dataclasses import dataclass

from sites_registry.models import Building
from tests import builders
from tests.zones.device_lists.lists import bring_in, csv_of
from zones.models import ControlPanel, DeviceKind, Position

HEADINGS = ("Tag", "Kind", "Panel", "Zone no.", "Zone name", "Vent", "Circuit", "Line", "Maker", "Model", "Serial")


@dataclass(frozen=True)
class EveryKind:
    """`devices` by kind. Each kind has a zone of its own, so that what a zone lacks tells of its kind."""

    building: Building
    panel: ControlPanel
    devices: dict


def make_every_kind(**fields) -> EveryKind:
    """No figure of any model is known: whatever is then said to be within a limit would be a false verdict."""
    building = builders.make_building(**fields)
    kinds = [DeviceKind.CONTROL_PANEL, *(kind for kind in DeviceKind if kind != DeviceKind.CONTROL_PANEL)]
    counts = bring_in(building, csv_of(*map(_row, kinds), headings=HEADINGS))
    assert counts == {"new": len(kinds)}
    building.smoke_zones.update(needs_automatic_detection=True)
    devices = {position.kind: position for position in Position.objects.filter(building=building)}
    return EveryKind(building, ControlPanel.objects.get(building=building), devices)


def tag_of(kind):
    return f"{kind.facts.tag_prefix}1"


def zone_of(kind):
    return DeviceKind.values.index(kind) + 1


def _row(kind):
    facts, zone = kind.facts, str(zone_of(kind))
    word = (facts.import_words.words or (facts.label,))[-1]
    made = ("Tarn Works", f"Plain {kind.value}", f"S-{zone}") if facts.has_unit else ("", "", "")
    if kind == DeviceKind.CONTROL_PANEL:
        return (tag_of(kind), word, "", "", "", "", "", "", *made)
    vent, circuit = (f"V{zone}", zone) if facts.moves_vents else ("", "")
    line = zone if facts.belongs_on == "line" else ""
    return (
        tag_of(kind),
        word,
        tag_of(DeviceKind.CONTROL_PANEL),
        zone,
        f"Zone of {kind.value}",
        vent,
        circuit,
        line,
        *made,
    )
