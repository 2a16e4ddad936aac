"""What is left in the standby battery over the standby period and the operations after it."""

from zones.engineering.batteries import RequiredCapacity, charge_over_standby
from zones.engineering.quantities import rounded_down
from zones.plots.line_chart import Axis, AxisPart, BrokenAxis, Level, LineChart, NamedPlace, Series, line_chart
from zones.plots.marks import Plot
from zones.plots.scales import rounded_out

_STEPS = 96


def charge_plot(capacity_ah: float, needed: RequiredCapacity, standby_h: float, *, key: str, name: str) -> Plot:
    """The charge of a battery at the end of its life, from full to after the last operation.

    Args:     capacity_ah: as fitted; needed: what its basis asks for; key: unique on the page; name: whose it is.
    """
    points = charge_over_standby(capacity_ah, needed, standby_h, _STEPS)
    standby, (_, left_ah) = points[:-1], points[-1]
    full_ah, before_ah = standby[0][1], standby[-1][1]
    minutes = needed.operation_s / 60
    course = tuple(((0, hours), ah) for hours, ah in standby)
    operation = (((0, standby_h), before_ah), ((1, 0.0), before_ah), ((1, minutes), left_ah))
    marked = (((0, 0.0), full_ah), ((0, standby_h), before_ah), ((1, minutes), left_ah))
    kept = (Level(f"to keep {needed.operation_ah:.2f} Ah", needed.operation_ah),) if needed.operation_ah else ()
    loss = needed.ageing_factor * needed.temperature_factor
    return line_chart(
        LineChart(
            key=key,
            title=f"Charge of the battery of {name}",
            description=_description(capacity_ah, full_ah, needed, standby_h, before_ah, left_ah),
            x=BrokenAxis(
                (AxisPart("h", 0.0, standby_h, 0.68, "standby"), AxisPart("min", 0.0, minutes, 0.32, "operation"))
            ),
            y=Axis("charge", "Ah", 0.0, rounded_out(0.0, capacity_ah)[1]),
            series=(Series("old and cold", (course, operation), 1, marked),),
            levels=(Level(f"as fitted {capacity_ah:g} Ah", capacity_ah, is_limit=False), *kept),
            places=(
                NamedPlace("full", (0, 0.0)),
                NamedPlace("standby ends", (0, standby_h)),
                NamedPlace("done", (1, minutes)),
            ),
            columns=("When", "Charge left (Ah)"),
            rows=(
                ("As fitted, new", f"{capacity_ah:g}"),
                (f"Full, old and cold (÷ {loss:.2f})", _left(full_ah)),
                (f"After {standby_h:g} h of standby", _left(before_ah)),
                ("To keep for the operations", f"{needed.operation_ah:.2f}"),
                (f"After {needed.operation_s:g} s of operation", _left(left_ah)),
            ),
        )
    )


def _left(charge_ah: float) -> str:
    return f"{rounded_down(charge_ah, 2):.2f}" if charge_ah > 0 else "0: empty"


def _description(capacity_ah, full_ah, needed: RequiredCapacity, standby_h, before_ah, left_ah) -> str:
    words = (
        f"Of {capacity_ah:g} Ah as fitted, {rounded_down(full_ah, 2):g} Ah count when the battery is old and cold. "
        f"After {standby_h:g} h of standby {rounded_down(before_ah, 2):g} Ah are left, "
    )
    if before_ah >= needed.operation_ah > 0:
        return words + f"after the operations {rounded_down(left_ah, 2):g} Ah."
    return words + f"less than the {needed.operation_ah:.2f} Ah that the operations take."
