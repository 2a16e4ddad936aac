"""What can hurt at a step of work: four classes, each with its sign, its words and what to do about it.

Source: handbook calculations.md, 'Cautions' (common practice [P]; crushing leaves: EN 60335-2-103, second-hand).
"""

from collections.abc import Iterable
from enum import StrEnum


class Hazard(StrEnum):
    """One class of hazard, in the order in which they are named."""

    LIVE = "live"
    MOVING = "moving"
    HEIGHT = "height"
    ALARM = "alarm"

    @property
    def sign(self) -> str:
        """One character that is told apart without colour."""
        return _SAID[self][0]

    @property
    def words(self) -> str:
        """The class as people say it."""
        return _SAID[self][1]

    @property
    def precaution(self) -> str:
        """What to do about it, in a sentence."""
        return _SAID[self][2]


_SAID = {
    Hazard.LIVE: ("↯", "live work", "Guards stay on, insulated tools, no metal jewellery."),
    Hazard.MOVING: (
        "⇄",
        "vents move",
        "Moving vents crush and shear: everyone clear of the leaves, a second person at the control.",
    ),
    Hazard.HEIGHT: ("↥", "at height", "Access plan, fall protection; never lean on an opening leaf."),
    Hazard.ALARM: (
        "◉",
        "may raise an alarm",
        "Occupants and receiving centre told before, linked plant inhibited.",
    ),
}

NONE_STATED = "none"


def hazards_text(hazards: Iterable[Hazard | str]) -> str:
    """Hazards as one stored word, in their order: "live,moving"; "none" says that somebody looked and found none.

    Raises ValueError: a word that is no hazard.
    """
    named = {Hazard(one) for one in hazards}
    return ",".join(one for one in Hazard if one in named) or NONE_STATED


def hazards_in(text: str) -> tuple[Hazard, ...]:
    """The hazards of a stored word; none for "none", and for "", which says that nobody has looked."""
    return tuple(Hazard(one) for one in text.split(",")) if text not in ("", NONE_STATED) else ()


def _every_text() -> tuple[str, ...]:
    found = [""]
    for number in range(2 ** len(Hazard)):
        found.append(hazards_text(one for k, one in enumerate(Hazard) if number >> k & 1))
    return tuple(found)


EVERY_HAZARDS_TEXT = _every_text()  # all that may be stored: for a rule in the database


def precautions(hazards: Iterable[Hazard]) -> str:
    """The sentences of these hazards, one after the other."""
    return " ".join(one.precaution for one in hazards)
