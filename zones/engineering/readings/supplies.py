"""Rules for what is read at a panel, its supply and its battery. All by the cell: 24 V are twelve cells of lead acid.

Voltages of lead-acid cells are common practice [P] of sealed sets; the maker's figures win.
"""

from zones.engineering.insulation import INSULATION_LIMITS, INVESTIGATE_BELOW_MEGOHM, CircuitVoltage
from zones.engineering.readings.rule import AskedFigure, ReadingRule, Sign, Term
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice

FLOAT_V_PER_CELL = (2.25, 2.30)  # [P], 20 to 25 °C
FLOAT_AT_C = (20.0, 25.0)
FLOAT_V_PER_CELL_K = -0.003  # [P], beyond these temperatures
WORTH_MOVING_K = 5.0  # [P]
CHARGER_ALONE_V_PER_CELL = (2.20, 2.45)  # [P]: battery off, float or boost
CONNECTED_V_PER_CELL = (2.0, 2.35)  # [P]: battery on the charger, not yet full
REST_V_PER_CELL = (2.08, 2.20)  # [P]: 12.5 V a block and more; above it the surface charge is still there
LOADED_HIGHEST_V_PER_CELL = 2.20  # [P]: above it the charger carries the load
SUPPLY_OF_RATED = (0.9, 1.25)  # [P]: 21.6 to 30 V on 24 V
QUIESCENT_OF_COMPUTED = (0.3, 1.1)  # [P]
MAINS_V = (207.0, 253.0)  # IEC 60038: 230 V ±10 %, from memory; the local supply prevails
DEAD_V = 1.0  # [P]: a two-pole tester on a dead pair shows nothing
YEARS_APART = 1.0

_PRACTICE = "common practice"
_REVERSED = Sign("Negative: the leads are exchanged, at the meter or at the battery.", high=Term(plus=-0.5))


_VOLTS = ("rated_voltage_v",)
_ASKS = (AskedFigure("rated_voltage_v", "rated voltage", "V"),)


def _cells(v_per_cell: float, source: str = "") -> Term:
    """So many volts a cell, in a set of the panel's rated voltage."""
    return Term(source, factor=v_per_cell / 2, times=_VOLTS)


def _rule(rated_v: float | None, whose: str, per_cell: tuple[float, float], source: str, *signs: Sign) -> ReadingRule:
    low, high = per_cell
    return ReadingRule(
        lower=(_cells(low, source),),
        upper=(_cells(high, source),),
        signs=signs,
        figures={} if rated_v is None else {"rated_voltage_v": rated_v},
        asks=_ASKS,
        whose=whose,
        digits=1,
    )


def _of_set(low: float, high: float, more: str = "") -> str:
    return f"{_PRACTICE}: {low:.2f} to {high:.2f} V a cell of lead acid{more}, cells by the rated voltage"


_ONE_BLOCK = Sign(
    "About half of the set: one block alone, the link missing, or blocks in parallel.", _cells(0.84), _cells(1.24)
)
_NONE = Sign("No voltage: fuse, link or lead of the battery open.", Term(plus=-0.5), Term(plus=2))


def _beyond_k(usual_c: float | None) -> float:
    low_c, high_c = FLOAT_AT_C
    return 0.0 if usual_c is None else min(usual_c - low_c, 0) + max(usual_c - high_c, 0)


def is_float_moved(usual_c: float | None) -> bool:
    """Whether a battery stands so warm or cold that its float voltage is another."""
    return abs(_beyond_k(usual_c)) >= WORTH_MOVING_K


def charger_voltage(rated_v: float | None, whose: str, usual_c: float | None = None) -> ReadingRule:
    """Float voltage at the battery, by its usual temperature where that is known.

    Args:     rated_v: of the panel's system, ``None`` = not known; whose: the panel's model.
    """
    shift_v = FLOAT_V_PER_CELL_K * _beyond_k(usual_c) if is_float_moved(usual_c) else 0.0
    moved = f" at 20 to 25 °C, widened for the usual {usual_c:g} °C" if shift_v else " at 20 to 25 °C"
    low, high = FLOAT_V_PER_CELL
    # Not every charger follows the temperature: both what one gives that does and one that does not is right.
    per_cell = (low + min(shift_v, 0), high + max(shift_v, 0))
    return _rule(
        *(rated_v, whose, per_cell, _of_set(*FLOAT_V_PER_CELL, moved), _REVERSED, _NONE, _ONE_BLOCK),
        Sign("As a battery without charger: charger off, faulty or not connected.", _cells(1.9), _cells(2.2)),
        Sign("Boost or a faulty regulator: the blocks gas and dry out if it stays.", _cells(2.36)),
    )


def charger_alone(rated_v: float | None, whose: str) -> ReadingRule:
    """Charger with the battery off."""
    none = Sign("No voltage: charger off or its fuse blown.", Term(plus=-0.5), Term(plus=2))
    return _rule(rated_v, whose, CHARGER_ALONE_V_PER_CELL, _of_set(*CHARGER_ALONE_V_PER_CELL), _REVERSED, none)


def battery_connected(rated_v: float | None, whose: str) -> ReadingRule:
    """Battery on the charger, whether full or not."""
    source = _of_set(*CONNECTED_V_PER_CELL)
    return _rule(rated_v, whose, CONNECTED_V_PER_CELL, source, _REVERSED, _NONE, _ONE_BLOCK)


def battery_at_rest(rated_v: float | None, whose: str) -> ReadingRule:
    """The set with the charger off, rested."""
    return _rule(
        *(rated_v, whose, REST_V_PER_CELL, _of_set(*REST_V_PER_CELL), _REVERSED, _NONE, _ONE_BLOCK),
        Sign("Discharged, or a cell is dead: charge, rest, read each block.", _cells(1.3), _cells(2.08)),
        Sign("Too much for a battery at rest: the charger is on, or it has not rested.", _cells(2.21)),
    )


def battery_loaded(rated_v: float | None, whose: str, practice: TradePractice = TRADE_PRACTICE) -> ReadingRule:
    """Under load without a charger: above the end of discharge; above a battery's own voltage nothing was tested."""
    per_cell = (practice.end_of_discharge_v_per_cell, LOADED_HIGHEST_V_PER_CELL)
    source = _of_set(*per_cell, ", from the end of discharge")
    return _rule(
        *(rated_v, whose, per_cell, source, _REVERSED, _NONE, _ONE_BLOCK),
        Sign(
            "Too much for a battery under load: the charger carries the load, or there is none.",
            _cells(LOADED_HIGHEST_V_PER_CELL + 0.005),
        ),
    )


def supply_voltage(rated_v: float | None, whose: str) -> ReadingRule:
    """Supply at the panel on mains."""
    low, high = SUPPLY_OF_RATED
    source = f"{_PRACTICE}: {low:g} to {high:g} × rated voltage of {whose}, data sheet"
    return _rule(
        *(rated_v, whose, (2 * low, 2 * high), source),
        Sign("Negative: the probes or the polarity are exchanged.", high=Term(plus=-0.5)),
        Sign("No voltage: mains, fuse or supply is off.", Term(plus=-0.5), Term(plus=2)),
        Sign("Sags under load: supply overloaded, mains off or battery carrying it.", _cells(1), _cells(2 * low)),
    )


def quiescent_current(computed_a: float) -> ReadingRule:
    """As the design check reckons it; the size of the battery rests on it."""
    low, high = QUIESCENT_OF_COMPUTED
    source = f"design check: quiescent current {computed_a:g} A, + {100 * (high - 1):.0f} % (common practice)"
    return ReadingRule(
        upper=(Term(source, high * computed_a),),
        signs=(
            Sign(
                "Hardly any: the mains still feed the panel, or devices are not connected.",
                Term(plus=-1),
                Term(plus=low * computed_a),
            ),
            Sign(
                "More than reckoned: the battery's standby time falls short; a device more, or something in alarm.",
                Term(plus=high * computed_a + 0.0005),
            ),
        ),
        computed=Term("design check", computed_a),
    )


def battery_years(years: float, basis: str) -> ReadingRule:
    """The age read from the blocks against the record; how old it may be says the protocol."""
    words = f"The record gives {years:g} years ({basis}): read the date code again, or correct the record."
    return ReadingRule(
        signs=(
            Sign(words, high=Term(plus=years - YEARS_APART)),
            Sign(words, low=Term(plus=years + YEARS_APART + 0.001)),
        ),
        computed=Term(f"record: {basis}", years),
    )


def mains_voltage() -> ReadingRule:
    """Mains at the panel."""
    low, high = MAINS_V
    source = "IEC 60038 (230 V ±10 %), from memory; the local supply prevails"
    return ReadingRule(
        (Term(source, low),),
        (Term(source, high),),
        signs=(
            Sign("No mains: protective device, isolator or neutral open.", Term(plus=-5), Term(plus=50)),
            Sign("As between two line conductors: switch off, the neutral is not where it belongs.", Term(plus=300)),
        ),
        digits=0,
    )


def proven_dead() -> ReadingRule:
    """A pair proven dead."""
    words = "It is live: do not touch it, find what feeds it."
    source = f"{_PRACTICE}: a pair proven dead shows less than {DEAD_V:g} V"
    return ReadingRule(
        (Term(source, -DEAD_V),),
        (Term(source, DEAD_V),),
        signs=(Sign(words, high=Term(plus=-DEAD_V)), Sign(words, low=Term(plus=DEAD_V + 0.001))),
    )


def insulation(kind: CircuitVoltage = CircuitVoltage.EXTRA_LOW) -> ReadingRule:
    """Insulation of a cable, all electronics disconnected, MΩ."""
    limit = INSULATION_LIMITS[kind]
    source = f"IEC 60364-6:2016 ({limit.least_megohm:g} MΩ at {limit.test_v:g} V DC), second-hand"
    return ReadingRule(
        (Term(source, limit.least_megohm),),
        signs=(
            Sign("Do not energise: a damaged core, or damp in a box.", high=Term(plus=limit.least_megohm)),
            Sign(
                "Low, if it passes: look for damp or a damaged cable (common practice).",
                Term(plus=limit.least_megohm),
                Term(plus=INVESTIGATE_BELOW_MEGOHM),
            ),
        ),
        asks=(
            AskedFigure(
                "test_voltage_v",
                "test voltage",
                f"V DC, {limit.test_v:g} or more",
                of_reading=True,
                at_least=limit.test_v,
            ),
        ),
        whose="the instrument",
    )
