"""Required area: what a smoke zone must open by a named method; of a plume, what its smoke is."""

from zones.calculators.forms.required_area import RequiredAreaForm
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import QuantityError
from zones.engineering.area_methods import INPUT_QUANTITIES, METHODS, AreaInputs
from zones.engineering.findings import Figure, missing, note, question
from zones.engineering.plumes import AMBIENT_C, LABEL, plume_result
from zones.engineering.quantities import rounded_down, rounded_up
from zones.engineering.required_areas import input_name, input_unit, required_area
from zones.engineering.sources import DESIGN_ENTRY, NFPA_92_PLUME

ZONE = "this zone"


class RequiredAreaPage(CalculatorPage):
    form_class = RequiredAreaForm
    template_name = "zones/calculators/required_area.html"
    heading = "Required area"
    lead = "What free area does a zone need: by the floor, as a fixed area, or by a smoke plume as a sanity check?"
    hint = "Choose a method, and enter the figures that it asks for."

    def calculate(self, figures, practice):
        method = METHODS.get(figures["method"])
        if method is None:
            return Answer((missing("area.method", ZONE, "method", [], DESIGN_ENTRY, not_checked="required area"),))
        inputs = AreaInputs(**{name: figures[name] for name in INPUT_QUANTITIES})
        inlet_m2 = figures["inlet_m2"] if method.plume else None
        found = required_area(method, inputs, inlet_m2=inlet_m2, practice=practice)
        if found.lacking:
            return Answer(
                tuple(
                    missing(
                        "area.method", ZONE, what, [], DESIGN_ENTRY, not_checked=f"required area by '{method.name}'"
                    )
                    for what in found.lacking
                )
            )
        if found.refused:
            raise QuantityError("inlet_m2", inlet_m2, "larger: no vent area lets this smoke out with so little air")
        if method.plume:
            return _plume_answer(found, inputs, inlet_m2, practice)
        kind = f" {method.kind}" if method.kind else ""
        words = f"{found.area_m2:g} m²{kind} free area required by '{method.name}'. {method.applies}"
        return Answer(
            (note("area.method", ZONE, words, method.source, _figures(method, inputs), found.formula),),
            (Head(f"required{',' if kind else ''}{kind}", f"{found.area_m2:.2f} m²"),),
        )


def _figures(method, inputs):
    return tuple(Figure(input_name(name), getattr(inputs, name), input_unit(name)) for name in method.needs)


def _plume_answer(found, inputs, inlet_m2, practice):
    """What the smoke is, each figure marked as a sanity check; where it does not hold is a question of its own."""
    method = found.method
    smoke = plume_result(
        method.plume,
        heat_kw=inputs.heat_release_kw,
        clear_height_m=inputs.clear_height_m,
        layer_depth_m=inputs.layer_depth_m,
        perimeter_m=inputs.fire_perimeter_m,
        inlet_m2=inlet_m2,
        practice=practice,
    )
    figures = (*_figures(method, inputs), Figure("share of the heat in the smoke", practice.convective_share))
    words = f"About {found.area_m2:g} m² aerodynamic let the smoke out. {LABEL}"
    outlets = f"At least {smoke.outlets_least} outlets: fewer draw clear air from below the smoke. {LABEL}"
    if smoke.outlets_least == 1:
        outlets = f"One outlet may be enough: it does not draw clear air from below the smoke. {LABEL}"
    findings = [
        note("area.plume", ZONE, words, method.source, figures, found.formula),
        note("area.plume_outlets", ZONE, outlets, NFPA_92_PLUME, figures, "volume flow / greatest flow of one outlet"),
        *(question("area.plume_limits", ZONE, limit, method.source) for limit in smoke.limits),
        note("area.plume_limits", ZONE, " ".join(smoke.counts_with), method.source),
    ]
    heads = (
        Head("area, aerodynamic: sanity check", f"{found.area_m2:.2f} m²"),
        Head("smoke: sanity check", f"{rounded_up(smoke.mass_kg_per_s, 1):.1f} kg/s"),
        Head("volume of smoke: sanity check", f"{rounded_up(smoke.volume_m3_per_s, 1):.1f} m³/s"),
        Head("temperature of smoke: sanity check", f"{rounded_down(AMBIENT_C + smoke.rise_k, 0):.0f} °C"),
    )
    return Answer(tuple(findings), heads)
