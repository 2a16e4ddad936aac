"""The small systems as described in systems.toml; plain data, shown to the office as it stands."""

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

FILE = Path(__file__).parent / "systems.toml"
RUNS = {
    "output": "actuator circuit",
    "line": "detection line of the panel",
    "data link": "data link of the panel",
    "call point line": "line of the call point",
    "call point input": "inputs of the call point",
    "input": "inputs of the panel",
    "battery": "in series at the panel",
}


@dataclass(frozen=True, slots=True)
class DevicesOfKind:
    """Devices of one kind: how many are usual, and where they are wired."""

    key: str
    kind: str
    label: str
    run: str
    usual: int
    most: int
    line: str = ""  # parts of a zone that name the same line share it
    per: str = "zone"
    monitored: bool = False

    @property
    def run_words(self):
        return RUNS[self.run]


@dataclass(frozen=True, slots=True)
class SmallSystem:
    key: str
    name: str
    words: str
    zones: int
    parts: tuple[DevicesOfKind, ...]
    settings: dict

    @property
    def zone_parts(self):
        return [part for part in self.parts if part.per == "zone"]

    @property
    def shared_parts(self):
        return [part for part in self.parts if part.per == "system"]


@cache
def small_systems() -> dict[str, SmallSystem]:
    """All small systems by key, in the order of the file."""
    data = tomllib.loads(FILE.read_text(encoding="utf-8"))
    parts = {key: DevicesOfKind(key=key, **row) for key, row in data["part"].items()}
    return {
        row["key"]: SmallSystem(
            row["key"],
            row["name"],
            row["words"],
            row["zones"],
            tuple(parts[key] for key in row["parts"]),
            data["settings"],
        )
        for row in data["system"]
    }
