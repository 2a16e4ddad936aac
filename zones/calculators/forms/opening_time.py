"""What may be typed about an actuator's way and speed."""

from zones.calculators.forms.base import CalculatorForm, FigureField


class OpeningTimeForm(CalculatorForm):
    groups = (
        ("Actuator", ("stroke_mm", "speed_mm_per_s")),
        ("At a lower voltage", ("reaches_v", "rated_voltage_v", "lower_voltage_v", "lower_speed_mm_per_s")),
        ("Panel", ("delay_s", "limit_s", "run_time_s")),
        ("Ventilation", ("wanted_mm",)),
    )

    from_practice = (("limit_s", "opening_limit_s", 1),)

    stroke_mm = FigureField("Stroke", "stroke")
    speed_mm_per_s = FigureField(
        "Speed", "speed", help_text="With the leaf on it, at the lowest voltage; at the rated one if given below."
    )
    reaches_v = FigureField("Voltage that reaches it", "voltage", help_text="Empty: the speed counts as entered.")
    rated_voltage_v = FigureField("Rated voltage", "voltage")
    lower_voltage_v = FigureField("A lower voltage", "voltage", help_text="A second line of the data sheet.")
    lower_speed_mm_per_s = FigureField("Speed there", "speed")
    delay_s = FigureField(
        "Delay before it starts", "delay", help_text="Signal and staggered start; 0 if there is none."
    )
    limit_s = FigureField("To be open within", "time", help_text="Empty: as the firm's common practice says.")
    run_time_s = FigureField("Run time of the output", "time")
    wanted_mm = FigureField("Opening wanted by time", "stroke", help_text="For a part opening in ventilation.")
