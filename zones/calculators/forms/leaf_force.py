"""What may be typed about a leaf, its loads and its actuators."""

from zones.calculators.forms.base import CalculatorForm, FigureField, OneOfField, YesNoField
from zones.engineering import VentKind
from zones.engineering.leaf_force import HingeAt

KINDS = [("", "not known"), *((kind.value, kind.value) for kind in VentKind)]
HINGES = [
    ("", "not known: the worst"),
    (HingeAt.UPPER.value, "upper edge"),
    (HingeAt.LOWER.value, "lower edge"),
    (HingeAt.SIDE.value, "an edge along the slope"),
]


class LeafForceForm(CalculatorForm):
    groups = (
        ("Leaf", ("kind", "width_mm", "height_mm", "mass_kg", "installed_deg", "hinge_at", "opens_inwards")),
        ("Place of the actuators", ("stroke_mm", "fixing_mm", "bracket_mm", "bracket_depth_mm")),
        ("Loads", ("wind_opening_pa", "snow_pa", "wind_suction_pa")),
        ("Actuators", ("actuators", "push_force_n", "pull_force_n", "holding_force_n", "force_margin")),
    )

    from_practice = (("force_margin", "force_margin", 1),)

    kind = OneOfField("Opens as", KINDS)
    width_mm = FigureField("Clear width", "opening_side_mm")
    height_mm = FigureField("Clear height", "opening_side_mm")
    mass_kg = FigureField("Weight of one leaf", "mass", help_text="Frame of the leaf, glass and fittings.")
    installed_deg = FigureField("Angle of installation", "installation", help_text="0 flat roof, 90 facade.")
    hinge_at = OneOfField("Hinge of a flap or double leaf", HINGES)
    opens_inwards = YesNoField("Opens inwards", help_text="Not known: outwards.")
    stroke_mm = FigureField("Stroke", "stroke")
    fixing_mm = FigureField("Hinge to fixing point", "opening_side_mm", help_text="Empty: at the moving edge.")
    bracket_mm = FigureField(
        "On the frame, from the hinge", "bracket_mm", help_text="Along the closed leaf; a chain: as its fixing."
    )
    bracket_depth_mm = FigureField("On the frame, behind the leaf", "bracket_mm", help_text="Square to it; a chain: 0.")
    wind_opening_pa = FigureField("Wind against opening", "pressure", help_text="0 means none.")
    snow_pa = FigureField("Snow", "pressure", help_text="On the plan, as EN 1991-1-3 gives it; 0 means none.")
    wind_suction_pa = FigureField("Wind suction, closed", "pressure", help_text="Empty: not asked.")
    actuators = FigureField("Actuators of the vent", "number", whole=True, most=20)
    push_force_n = FigureField("Push force of each", "force", help_text="At the lowest voltage that reaches it.")
    pull_force_n = FigureField("Pull force of each", "force")
    holding_force_n = FigureField("Holding force of each", "force", help_text="When closed, as its data sheet says.")
    force_margin = FigureField("Times what the leaf needs", "margin", help_text="Empty: as the firm's practice says.")
