"""Actuators: what they draw, how fast they run at the voltage that reaches them, how long they take to open the vent.

A calculated time is not a measured time: the measured opening time on battery, with the leaf on it, outranks
every figure here.
"""

from dataclasses import dataclass, fields

from zones.engineering.cables import KNOWN_KINDS, Load, LoadModel, LoadOfAnyKind, taken
from zones.engineering.copies import Kind, kind_of
from zones.engineering.derived import derived
from zones.engineering.quantities import QuantityError, check_each, check_quantity, unusual

_CHARGING = 1.25  # more than any charging voltage as a multiple of the rated one [P]
_CHECKED = (
    ("current", "rated_current_a"),
    ("current", "starting_current_a"),
    ("voltage", "rated_voltage_v"),
    ("voltage", "minimum_voltage_v"),
    ("stroke", "stroke_mm"),
    ("speed", "speed_mm_per_s"),
    ("voltage", "lower_voltage_v"),
    ("speed", "lower_speed_mm_per_s"),
    ("current", "lower_current_a"),
    ("voltage", "highest_voltage_v"),
    ("starting_time", "starting_s"),
    ("force", "push_force_n"),
    ("force", "pull_force_n"),
    ("force", "lower_push_force_n"),
    ("force", "lower_pull_force_n"),
    ("force", "holding_force_n"),
)


_QUESTIONED = (
    ("current", "rated_current_a"),
    ("current", "starting_current_a"),
    ("voltage", "rated_voltage_v"),
    ("voltage", "minimum_voltage_v"),
    ("stroke", "stroke_mm"),
    ("speed", "speed_mm_per_s"),
)


@dataclass(frozen=True)
class Actuator:
    """The drive on a vent, with its data-sheet figures; ``None`` = not known.

    `at` names the cable run at whose far end it hangs, `vent` the vent it moves; `vent_key` tells vents of one
    name apart. Speed and rated current belong to the
    rated voltage; `lower_speed_mm_per_s` and `lower_current_a` to `lower_voltage_v`, a second line of the data sheet.
    Forces belong to the rated voltage, those named `lower_` to `lower_voltage_v`; `holding_force_n` when closed.
    `starting_s` is for how long it draws its starting current; above `highest_voltage_v` it must not run.
    `holds_speed`: the speed counts at whatever voltage reaches it, because it was entered for that.
    `load_model`: how its current answers to the voltage; where it is not known, the worst of the kinds counts.
    """

    name: str
    at: str | None = None
    vent: str | None = None
    vent_key: int | None = None
    rated_current_a: float | None = None
    starting_current_a: float | None = None
    rated_voltage_v: float | None = None
    minimum_voltage_v: float | None = None
    stroke_mm: float | None = None
    speed_mm_per_s: float | None = None
    lower_voltage_v: float | None = None
    lower_speed_mm_per_s: float | None = None
    lower_current_a: float | None = None
    highest_voltage_v: float | None = None
    starting_s: float | None = None
    push_force_n: float | None = None
    pull_force_n: float | None = None
    lower_push_force_n: float | None = None
    lower_pull_force_n: float | None = None
    holding_force_n: float | None = None
    holds_speed: bool = False
    load_model: LoadModel = LoadModel.NOT_KNOWN

    def __post_init__(self):
        check_each(_CHECKED, self, subject=self.name)
        low, rated = self.minimum_voltage_v, self.rated_voltage_v
        if low is not None and rated is not None and low > rated:
            raise QuantityError("minimum_voltage_v", low, f"at most the rated voltage, {rated:g} V", subject=self.name)

        lower, highest = self.lower_voltage_v, self.highest_voltage_v
        if lower is not None and rated is not None and lower >= rated:
            raise QuantityError("lower_voltage_v", lower, f"below the rated voltage, {rated:g} V", subject=self.name)
        if highest is not None and rated is not None and highest < rated:
            accepted = f"at least the rated voltage, {rated:g} V"
            raise QuantityError("highest_voltage_v", highest, accepted, subject=self.name)
        if self.load_model != LoadModel.CONSTANT_CURRENT and None not in (rated, self.rated_current_a):
            self.running_load()  # refuses a power or a resistance that cannot be, before anything is solved with it

    @derived
    def what(self) -> Kind:
        """All that it is, by field: whatever it is called, wherever it hangs and whatever it moves."""
        of_place = ("name", "at", "vent", "vent_key")
        return kind_of(*[(one.name, getattr(self, one.name)) for one in fields(self) if one.name not in of_place])

    @derived
    def kinds(self) -> tuple[LoadModel, ...]:
        """The kinds of load that it may be."""
        return KNOWN_KINDS if self.load_model == LoadModel.NOT_KNOWN else (self.load_model,)

    def running_load(self) -> Load | LoadOfAnyKind:
        """The load while running. `rated_current_a` must be known, with other models `rated_voltage_v` too.

        Of two lines of a data sheet the one that takes more counts, whatever the voltage.
        """
        loads = tuple(Load(self.name, self.at, self._running_value(kind), kind) for kind in self.kinds)
        return loads[0] if len(loads) == 1 else LoadOfAnyKind(self.name, self.at, loads)

    @derived
    def running_taken(self) -> tuple[tuple[float, float, float], ...]:
        """What it may take while running, kind by kind: current A, power W, conductance S; one of them is not 0."""
        load = self.running_load()
        return (taken(load),) if isinstance(load, Load) else tuple(taken(one) for one in load.kinds)

    @derived
    def can_be_solved(self) -> bool:
        """Whether every figure that its voltage rests on is known, but for its place."""
        if self.rated_current_a is None or self.minimum_voltage_v is None:
            return False
        return self.load_model == LoadModel.CONSTANT_CURRENT or self.rated_voltage_v is not None

    def worked_out(self) -> "Actuator":
        """The same, with what follows from its figures at hand, as far as they are known: copies have it, too."""
        following = ["what", "unusual", "rated_stroke_s", "can_be_solved"]
        constant = self.load_model == LoadModel.CONSTANT_CURRENT
        if None not in (self.rated_current_a, *(() if constant else (self.rated_voltage_v, self.minimum_voltage_v))):
            following += ["kinds", "fixed_a", "running_taken", "most_a"]
            following += [] if self.starting_current_a is None else ["starts_with_a"]
        for name in following:
            getattr(self, name)
        return self

    @derived
    def unusual(self) -> tuple[tuple[str, str], ...]:
        """Its figures far from trade values, as (quantity, field)."""
        return unusual(_QUESTIONED, self)

    @derived
    def rated_stroke_s(self) -> float | None:
        """What its stroke takes at the rated voltage, s: less it never takes."""
        speed, stroke_mm = self.speed_mm_per_s, self.stroke_mm
        return None if speed is None or stroke_mm is None else stroke_mm / speed

    @derived
    def fixed_a(self) -> float | None:
        """Current while running where no voltage changes it, A; ``None``: it answers to the voltage."""
        fixed = self.load_model == LoadModel.CONSTANT_CURRENT
        return self._running_value(LoadModel.CONSTANT_CURRENT) if fixed else None

    def _running_value(self, kind: LoadModel) -> float:
        match kind:
            case LoadModel.CONSTANT_CURRENT:
                return max(self.rated_current_a, self.lower_current_a or 0.0)
            case LoadModel.CONSTANT_POWER:
                return max(self.rated_voltage_v * self.rated_current_a, self._lower_power_w())
            case LoadModel.RESISTIVE:
                return self.rated_voltage_v / self.rated_current_a

    @derived
    def starts_with_a(self) -> float:
        """The current while starting, A: never less than while running."""
        return max(self.starting_current_a, self.rated_current_a)

    def _lower_power_w(self) -> float:
        known = self.lower_voltage_v is not None and self.lower_current_a is not None
        return self.lower_voltage_v * self.lower_current_a if known else 0.0

    def current_a(self, volts: float) -> float:
        """Current while running at a voltage, A, of the worst kind it may be; figures as for :meth:`running_load`."""
        if self.fixed_a is not None:
            return self.fixed_a
        return max([self._current_of(kind, volts) for kind in self.kinds])

    def greatest_a(self, volts: float, most_v: float) -> float:
        """The same where it may get up to the most that the output gives, A: a resistance takes more there."""
        here_a = self.current_a(volts)
        return max(here_a, self.current_a(most_v)) if LoadModel.RESISTIVE in self.kinds else here_a

    def _current_of(self, kind: LoadModel, volts: float) -> float:
        value = self._running_value(kind)
        match kind:
            case LoadModel.CONSTANT_CURRENT:
                return value
            case LoadModel.CONSTANT_POWER:
                return value / volts
            case LoadModel.RESISTIVE:
                return volts / value

    @derived
    def most_a(self) -> float:
        """The most that it takes for good while it runs at all, A: of constant power at its least voltage.

        A resistive load is taken at a quarter above its rated voltage, more than charging gives.
        """
        if self.fixed_a is not None:
            return self.fixed_a
        most_v = {
            LoadModel.CONSTANT_CURRENT: 0.0,
            LoadModel.CONSTANT_POWER: self.minimum_voltage_v,
            LoadModel.RESISTIVE: _CHARGING * (self.rated_voltage_v or 0.0),
        }
        return max([self._current_of(kind, most_v[kind]) for kind in self.kinds])

    def speed_at(self, volts: float | None) -> float | None:
        """Speed at a voltage, mm/s: straight between the two lines of the data sheet, never above the rated speed.

        Returns:  ``None`` where the data sheet says nothing: below the lower voltage, or below the rated one without a
                  second line; or where the voltage is not known.
        """
        speed, rated_v = self.speed_mm_per_s, self.rated_voltage_v
        if self.holds_speed:
            return speed
        if volts is None or speed is None or rated_v is None:
            return None
        if volts >= rated_v:
            return speed
        return self._between_lines(volts, speed, self.lower_speed_mm_per_s)

    def push_at(self, volts: float | None) -> float | None:
        """Push at a voltage, N, as :meth:`speed_at`."""
        return self._force_at(volts, self.push_force_n, self.lower_push_force_n)

    def pull_at(self, volts: float | None) -> float | None:
        """Pull at a voltage, N, as :meth:`speed_at`."""
        return self._force_at(volts, self.pull_force_n, self.lower_pull_force_n)

    def _force_at(self, volts, rated, lower):
        if None in (volts, rated, self.rated_voltage_v):
            return None
        return rated if volts >= self.rated_voltage_v else self._between_lines(volts, rated, lower)

    def _between_lines(self, volts, rated, lower):
        """Straight between the two lines of the data sheet, never above the rated figure; ``None`` below both."""
        low_v, rated_v = self.lower_voltage_v, self.rated_voltage_v
        if low_v is None or lower is None or volts < low_v:
            return None
        return min(lower + (rated - lower) * (volts - low_v) / (rated_v - low_v), rated)


def opening_time_s(stroke_mm: float, speed_mm_per_s: float, delay_s: float = 0.0) -> float:
    """Time from the signal to the open position, s. Source: t = stroke/speed + delay [calc]."""
    check_quantity("stroke", stroke_mm, field="stroke_mm")
    check_quantity("speed", speed_mm_per_s, field="speed_mm_per_s")
    check_quantity("delay", delay_s, field="delay_s")
    return stroke_mm / speed_mm_per_s + delay_s


def least_speed_mm_per_s(stroke_mm: float, delay_s: float = 0.0, limit_s: float = 60.0) -> float:
    """Least speed that opens within the limit, mm/s, not rounded.

    Raises:   QuantityError: the delay alone uses up the limit.
    Source:   v = s/(limit - delay), limit 60 s from EN 12101-2 [S2].
    """
    check_quantity("stroke", stroke_mm, field="stroke_mm")
    check_quantity("delay", delay_s, field="delay_s")
    if delay_s >= limit_s:
        raise QuantityError("delay_s", delay_s, f"less than the opening limit, {limit_s:g} s")
    return stroke_mm / (limit_s - delay_s)


def partial_opening_time_s(wanted_mm: float, speed_mm_per_s: float) -> float:
    """Run time for a partial opening for ventilation, s. The error adds up: close fully once a day [P]."""
    return opening_time_s(wanted_mm, speed_mm_per_s)
