"""What may be typed about a supply and the outputs that it feeds."""

from zones.calculators.forms.base import CalculatorForm, FigureField, OneOfField, YesNoField

ROWS = (1, 2, 3, 4)
OPERATION = [("together", "all at once"), ("sequential", "one group after another")]
PER_ROW = ("outputs", "actuators", "current_a", "starting_a", "starting_s", "limit_a", "peak_a")


def _row_fields(row):
    return {
        f"outputs_{row}": FigureField("Outputs alike", "number", whole=True, most=40),
        f"actuators_{row}": FigureField("Actuators on each", "number", whole=True, most=20),
        f"current_a_{row}": FigureField("Current of each actuator", "current"),
        f"starting_a_{row}": FigureField("Starting current of each actuator", "current"),
        f"starting_s_{row}": FigureField("For how long each starts", "starting_time"),
        f"limit_a_{row}": FigureField("Limit of each output", "current"),
        f"peak_a_{row}": FigureField("Peak current of each output", "peak_current"),
    }


class SupplyForm(CalculatorForm):
    groups = (
        (
            "Supply",
            ("rated_current_a", "peak_current_a", "alarm_current_a", "charger_current_a", "charger_inhibited"),
        ),
        *((f"Outputs, kind {row}", tuple(f"{name}_{row}" for name in PER_ROW)) for row in ROWS),
        ("How they open", ("operation", "gap_s", "stagger_s", "stroke_mm", "speed_mm_per_s")),
    )

    rated_current_a = FigureField("Rated current of the supply", "current")
    peak_current_a = FigureField("Its peak current", "peak_current", help_text="While actuators start.")
    alarm_current_a = FigureField("Current of the panel in alarm", "quiescent_current", help_text="Without motors.")
    charger_current_a = FigureField("Current of the charger", "current")
    charger_inhibited = YesNoField("The charger stops while motors run")
    operation = OneOfField("They open", OPERATION)
    gap_s = FigureField("Pause between groups", "delay", help_text="0 where there is none.")
    stagger_s = FigureField("Between the starts of two actuators", "delay", help_text="Empty: all start at once.")
    stroke_mm = FigureField("Stroke of the slowest actuator", "stroke")
    speed_mm_per_s = FigureField("Its speed", "speed", help_text="At the lowest voltage that reaches it.")


for _row in ROWS:
    SupplyForm.base_fields.update(_row_fields(_row))


def rows_of(figures):
    """Those kinds of output of which anything is entered: (row, {name: value})."""
    for row in ROWS:
        values = {name: figures[f"{name}_{row}"] for name in PER_ROW}
        if any(value is not None for value in values.values()):
            yield row, values
