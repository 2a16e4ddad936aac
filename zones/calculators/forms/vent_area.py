"""What may be typed about a vent: of each kind of leaf the figures that it has."""

from zones.calculators.forms.base import CalculatorForm, FigureField, OneOfField, YesNoField
from zones.engineering import AreaKind, VentKind

KINDS = [("", "not known"), *((kind.value, kind.value) for kind in VentKind)]
AREA_KINDS = [("", "not known"), *((kind.value, kind.value) for kind in AreaKind)]


class VentAreaForm(CalculatorForm):
    groups = (
        ("Frame and leaf", ("kind", "width_mm", "height_mm")),
        ("Leaf on hinges, sliding", ("stroke_mm", "fixing_mm", "reveal_mm", "sides_blocked")),
        ("Louvre", ("blades", "blade_pitch_mm", "blade_thickness_mm", "blade_angle_deg")),
        ("Aerodynamic", ("discharge_coefficient", "coefficient_tested", "declared_aerodynamic_m2", "tested_angle_deg")),
        ("What is asked", ("required_area_m2", "area_kind")),
    )

    kind = OneOfField("Opens as", KINDS)
    width_mm = FigureField("Clear width", "opening_side_mm")
    height_mm = FigureField("Clear height", "opening_side_mm", help_text="Of the frame, as seen from the room.")
    stroke_mm = FigureField("Stroke", "stroke")
    fixing_mm = FigureField(
        "Hinge to fixing point", "opening_side_mm", help_text="Empty: the actuator is at the moving edge."
    )
    reveal_mm = FigureField("Depth of the reveal", "reveal_mm", help_text="0 where the leaf opens into none.")
    sides_blocked = YesNoField("Walls or leaves block its sides")
    blades = FigureField("Blades", "number", whole=True, most=200)
    blade_pitch_mm = FigureField("Pitch of the blades", "opening_travel_mm")
    blade_thickness_mm = FigureField("Thickness of a blade", "reveal_mm")
    blade_angle_deg = FigureField("Angle of the blades, open", "blade_angle")
    discharge_coefficient = FigureField("Discharge coefficient", "discharge_coefficient")
    coefficient_tested = YesNoField("The coefficient is from a test")
    declared_aerodynamic_m2 = FigureField(
        "Declared aerodynamic area", "free_area", help_text="From the maker's declaration of performance."
    )
    tested_angle_deg = FigureField(
        "Angle of test or declaration", "opening_angle", help_text="At which opening they hold; not for a sliding vent."
    )
    required_area_m2 = FigureField("Area required", "free_area", help_text="As the fire strategy says.")
    area_kind = OneOfField("Kind of area required", AREA_KINDS)
