"""How an actuator opens at the voltage that reaches it."""

from typing import NamedTuple

from zones.engineering.actuators import Actuator


class Travel(NamedTuple):
    """How one actuator opens in one condition; ``None`` = not known. Made by :func:`travel`.

    `words`: the condition as a sentence says it ("at the end of battery discharge"); `speed_mm_per_s` at the voltage
    that reaches it; `stroke_s`: from its start to the open position.
    """

    actuator: Actuator
    source: str
    words: str
    volts: float | None
    speed_mm_per_s: float | None
    stroke_s: float | None

    @property
    def least_s(self) -> float | None:
        """What it takes at its rated voltage: less than this it never takes."""
        return self.actuator.rated_stroke_s


def travel(actuator: Actuator, source: str, words: str, volts: float | None) -> Travel:
    """The travel of an actuator at a voltage; the condition as in :class:`Travel`."""
    speed, stroke_mm = actuator.speed_at(volts), actuator.stroke_mm
    stroke_s = None if speed is None or stroke_mm is None else stroke_mm / speed
    return Travel(actuator, source, words, volts, speed, stroke_s)
