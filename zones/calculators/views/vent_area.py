"""Vent area: opening angle, geometric and aerodynamic free area of every kind of leaf."""

from dataclasses import replace

from zones.calculators.forms.vent_area import VentAreaForm
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import AreaKind, QuantityError, SmokeZone, Vent, VentKind
from zones.engineering.findings import Figure, Severity, missing, note, question
from zones.engineering.quantities import in_words, rounded_down, rounded_up
from zones.engineering.sources import DATA_SHEET, EN_12101_2_AREA, GEOMETRY, PRACTICE
from zones.engineering.vents import is_hinged, stroke_for_area_m
from zones.engineering.zone_areas import check_zone_area, vent_area

VENT, ZONE = "the vent", "of this vent"
_SOME_MM = 1.0
FORMULAS = {
    VentKind.LOUVRE: "area = width × blades × (pitch × sin(angle) - thickness), at most the frame",
    VentKind.SLIDING: "area = width × least of travel and height",
    VentKind.DOUBLE_LEAF: "area = 2 × leaf, each: least of half the frame and front gap + two side triangles",
}
HINGED_FORMULA = (
    "angle = 2 × arcsin(stroke / (2 × distance from the hinge)); area = least of the frame and front gap "
    "(length of the hinge × opening) + two side triangles"
)
IN_M = {
    "width_m": "width_mm",
    "height_m": "height_mm",
    "fixing_m": "fixing_mm",
    "reveal_m": "reveal_mm",
    "blade_pitch_m": "blade_pitch_mm",
    "blade_thickness_m": "blade_thickness_mm",
    "stroke_m": "stroke_mm",
}


class VentAreaPage(CalculatorPage):
    form_class = VentAreaForm
    heading = "Vent area"
    lead = "How far does the leaf open, and what geometric and aerodynamic free area does that give?"
    hint = "Choose how the vent opens, and enter its clear frame and the stroke of its actuator, or its blades."

    def calculate(self, figures, practice):
        vent = vent_of(figures)
        try:
            area = vent_area(vent)
        except QuantityError as error:
            raise _in_mm(error) from error
        findings = [*_geometric(vent, area, figures), *_aerodynamic(vent, area, figures, practice)]
        if figures["required_area_m2"] is not None or figures["area_kind"]:
            findings += _verdict(vent, figures, practice)
        return Answer(tuple(findings), tuple(_heads(vent, area, figures)))


def vent_of(figures):
    """The vent in engineering's units; an unknown blade thickness or blocked side is asked for, not assumed."""
    lengths = {name: figures[typed] for name, typed in IN_M.items() if name not in ("stroke_m", "blade_thickness_m")}
    return Vent(
        VENT,
        kind=VentKind(figures["kind"]) if figures["kind"] else None,
        stroke_mm=figures["stroke_mm"],
        sides_blocked=figures["sides_blocked"],  # not known: counted as blocked, and said so
        declared_aerodynamic_m2=figures["declared_aerodynamic_m2"],
        blades=figures["blades"],
        blade_thickness_m=(figures["blade_thickness_mm"] or 0.0) / 1000,
        blade_angle_deg=figures["blade_angle_deg"],
        discharge_coefficient=figures["discharge_coefficient"],
        coefficient_tested=figures["coefficient_tested"] is True,
        tested_angle_deg=figures["tested_angle_deg"],
        **{name: None if value is None else value / 1000 for name, value in lengths.items()},
    )


def _in_mm(error):
    """Engineering's refusal in the units and at the field of the page."""
    field = IN_M.get(error.field, error.field)
    if error.field == "stroke_m" and isinstance(error.value, float):
        accepted = "at most twice the distance from the hinge to its fixing point"
        return QuantityError(field, error.value * 1000, accepted)
    return QuantityError(field, error.value, error.accepted, hint=error.hint)


def _unknown(vent, figures):
    """What is missing for the geometric area, in words."""
    gaps = vent.missing_figures()
    if vent.kind == VentKind.LOUVRE and figures["blade_thickness_mm"] is None:
        gaps.append("thickness of a blade")
    return gaps


def _geometric(vent, area, figures):
    if gaps := _unknown(vent, figures):
        return [
            missing("area.vent", VENT, what, [], DATA_SHEET, not_checked="geometric area of the vent") for what in gaps
        ]
    words = f"{rounded_down(area.geometric_m2, 3):g} m² geometric free area"
    if area.angle_deg is not None:
        words += f", opened by {rounded_down(area.angle_deg, 2):g}°"
    frame_m2 = vent.width_m * vent.height_m
    words += f"; the frame has {rounded_down(frame_m2, 3):g} m²."
    inputs = [Figure(in_words(name).capitalize(), figures[typed], "mm") for name, typed in _used(vent).items()]
    inputs = [one if one.name != "Fixing" or one.value else Figure("Fixing", "at the moving edge") for one in inputs]
    if vent.kind == VentKind.LOUVRE:
        inputs += [Figure("blades", vent.blades), Figure("blade angle", vent.blade_angle_deg, "°")]
    formula = FORMULAS.get(vent.kind, HINGED_FORMULA)
    findings = [note("area.geometric", VENT, words, GEOMETRY, tuple(inputs), formula)]
    if is_hinged(vent.kind) and figures["sides_blocked"] is None:
        sentence = "Whether walls or leaves block its sides is not known: only the front gap is counted."
        findings.append(question("area.sides", VENT, sentence, PRACTICE))
    if area.angle_deg is not None and area.angle_deg > 90:
        sentence = f"The leaf would open by {area.angle_deg:.0f}°, beyond 90°. Check the stroke and its fixing point."
        findings.append(question("area.angle", VENT, sentence, GEOMETRY))
    return [*findings, *_stroke(vent, figures)]


def _used(vent):
    wanted = ["width_m", "height_m"]
    if vent.kind == VentKind.LOUVRE:
        wanted += ["blade_pitch_m", "blade_thickness_m"]
    else:
        wanted += ["stroke_m"] + ["fixing_m", "reveal_m"] * is_hinged(vent.kind)
    return {name: IN_M[name] for name in wanted}


def _stroke(vent, figures):
    """The least stroke for a geometric area that is required, of one leaf with its actuator at the moving edge."""
    wanted_m2, kind = figures["required_area_m2"], figures["area_kind"]
    if wanted_m2 is None or kind != AreaKind.GEOMETRIC or not is_hinged(vent.kind) or vent.fixing_m is not None:
        return []
    leaves = 2 if vent.kind == VentKind.DOUBLE_LEAF else 1
    stroke_m = stroke_for_area_m(
        vent.hinge_length_m,
        vent.leaf_depth_m,
        wanted_m2 / leaves,
        reveal_m=vent.reveal_m,
        sides_blocked=vent.sides_blocked is not False,
    )
    words = f"No stroke gives {wanted_m2:g} m²: the frame is too small."
    if stroke_m is not None:
        words = f"{wanted_m2:g} m² need a stroke of {rounded_up(stroke_m * 1000, 0):g} mm at the moving edge."
    inputs = (Figure("area required", wanted_m2, "m²"), Figure("kind", kind))
    return [note("area.stroke", VENT, words, GEOMETRY, inputs, HINGED_FORMULA)]


def _aerodynamic(vent, area, figures, practice):
    """As declared or by a tested coefficient; anything else is an estimate and says so."""
    formula = "aerodynamic area = frame area × tested coefficient, or as declared, at the angle of the test"
    geometric_m2 = None if _unknown(vent, figures) else area.geometric_m2
    inputs = (
        Figure("geometric area", None if geometric_m2 is None else rounded_down(geometric_m2, 3), "m²"),
        Figure("discharge coefficient", vent.discharge_coefficient),
        Figure("declared aerodynamic area", vent.declared_aerodynamic_m2, "m²"),
        Figure("frame area", None if vent.frame_m2 is None else rounded_down(vent.frame_m2, 3), "m²"),
        Figure("angle of test or declaration", vent.tested_angle_deg, "°"),
    )
    if area.aerodynamic_m2 is not None:
        words = f"{rounded_down(area.aerodynamic_m2, 3):g} m² aerodynamic free area, {area.by}."
        return [note("area.aerodynamic", VENT, words, EN_12101_2_AREA, inputs, formula)]
    if geometric_m2 is None:
        return []
    coefficient = vent.discharge_coefficient or practice.estimated_discharge_coefficient
    estimate_m2 = rounded_down(geometric_m2 * coefficient, 3)
    words = (
        f"About {estimate_m2:g} m² aerodynamic as an estimate with a coefficient of {coefficient:g}, not from a test "
        f"that holds for this opening. An estimate is no verdict."
    )
    inputs = (inputs[0], Figure("estimated coefficient", coefficient))
    return [note("area.estimate", VENT, words, PRACTICE, inputs, "geometric × estimated coefficient")]


def _verdict(vent, figures, practice):
    """Like with like only, by the check of a zone that has this vent alone."""
    zone = SmokeZone(
        ZONE,
        required_area_m2=figures["required_area_m2"],
        area_kind=AreaKind(figures["area_kind"]) if figures["area_kind"] else None,
    )
    if vent.kind == VentKind.LOUVRE and figures["blade_thickness_mm"] is None:
        return []  # said with the geometric area
    if vent.kind == VentKind.LOUVRE:
        vent = replace(vent, stroke_mm=vent.stroke_mm or _SOME_MM)  # the angle entered is what its actuator reaches
    return [
        one
        for one in check_zone_area(zone, [vent], practice)
        if one.code not in ("figure.unusual", "area.estimate")
        and not (one.severity == Severity.MISSING and one.inputs[0].name in vent.missing_figures())
    ]


def _heads(vent, area, figures):
    if _unknown(vent, figures):
        return
    if area.angle_deg is not None:
        yield Head("opening angle", f"{rounded_down(area.angle_deg, 2):.2f}°")
    yield Head("geometric", f"{rounded_down(area.geometric_m2, 3):.3f} m²")
    if area.aerodynamic_m2 is not None:
        yield Head("aerodynamic", f"{rounded_down(area.aerodynamic_m2, 3):.3f} m²")
