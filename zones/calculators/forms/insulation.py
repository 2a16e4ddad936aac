"""What may be typed about insulation and continuity readings."""

from zones.calculators.forms.base import CalculatorForm, FigureField, OneOfField
from zones.calculators.forms.cables import class_field, size_field
from zones.engineering.insulation import CircuitVoltage

KINDS = [("", "not known"), *((kind.value, kind.value) for kind in CircuitVoltage)]


class InsulationForm(CalculatorForm):
    groups = (
        ("Insulation", ("kind", "tested_v", "reading_megohm", "second_megohm", "third_megohm")),
        ("The same cable in another length", ("measured_m", "length_m")),
        ("Continuity of a core", ("core_m", "size", "conductor_class", "temperature_c")),
    )

    kind = OneOfField("Kind of circuit", KINDS, help_text="The 24 V side is SELV or PELV.")
    tested_v = FigureField(
        "Test voltage", "test_voltage", help_text="Direct, as set at the instrument: 250 V for the 24 V side."
    )
    reading_megohm = FigureField("Insulation reading", "insulation")
    second_megohm = FigureField("Of a second cable", "insulation", help_text="Connected together they read less.")
    third_megohm = FigureField("Of a third cable", "insulation")
    measured_m = FigureField("Length measured", "length")
    length_m = FigureField("Length asked about", "length")
    core_m = FigureField("Length of the core", "length", help_text="Both cores for a loop: twice the cable.")
    size = size_field()
    conductor_class = class_field()
    temperature_c = FigureField("Temperature", "temperature", help_text="Empty: 20 °C.")
