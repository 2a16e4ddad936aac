"""Force of actuators: what a hinged leaf takes to open, to close and to stay shut, against what its actuators give."""

from dataclasses import replace

from zones.calculators.forms.leaf_force import LeafForceForm
from zones.calculators.views.base import Answer, CalculatorPage
from zones.engineering import Actuator, Vent, VentKind
from zones.engineering.findings import Severity, note
from zones.engineering.force_check import forces_of_zone
from zones.engineering.leaf_force import HingeAt, Leaf
from zones.engineering.solved_circuits import DISCHARGED, MAINS
from zones.engineering.sources import STATICS
from zones.engineering.travels import travel

VENT, KEY, AS_ENTERED_V = "the vent", 1, 24.0  # forces are entered for the voltage that arrives: any does


class LeafForcePage(CalculatorPage):
    form_class = LeafForceForm
    heading = "Force of actuators"
    lead = "Do they open the leaf against weight, wind and snow, close it again, and hold it shut?"
    hint = "Enter the leaf, where its actuators stand, the loads as stated, and the forces of the data sheet."

    def calculate(self, figures, practice):
        if figures["force_margin"] is not None:
            practice = replace(practice, force_margin=figures["force_margin"])
        actuators = [_actuator(f"actuator {k}", figures) for k in range(1, (figures["actuators"] or 0) + 1)]
        rows = [travel(one, source, "", AS_ENTERED_V) for one in actuators for source in (MAINS, DISCHARGED)]
        findings = forces_of_zone("of this vent", [vent_of(figures, len(actuators))], {KEY: rows}, practice)
        if all(one.severity == Severity.NOTE for one in findings):
            words = "Friction of hinges and seals is in no figure here: prove the opening on site."
            findings = [*findings, note("force.opening", VENT, words, STATICS)]
        return Answer(tuple(findings))


def _actuator(name, figures):
    forces = ("push_force_n", "pull_force_n", "holding_force_n")
    return Actuator(
        name,
        vent_key=KEY,
        rated_voltage_v=AS_ENTERED_V,
        stroke_mm=figures["stroke_mm"],
        **{n: figures[n] for n in forces},
    )


def vent_of(figures, actuators):
    """The vent in engineering's units, as the design check makes it of the records."""

    def metres(name):
        return None if figures[name] is None else figures[name] / 1000

    leaf = Leaf(
        mass_kg=figures["mass_kg"],
        installed_deg=figures["installed_deg"],
        hinge_at=HingeAt(figures["hinge_at"]) if figures["hinge_at"] else None,
        opens_inwards=figures["opens_inwards"] is True,
        bracket_m=metres("bracket_mm"),
        bracket_depth_m=metres("bracket_depth_mm"),
        wind_opening_pa=figures["wind_opening_pa"],
        wind_suction_pa=figures["wind_suction_pa"],
        snow_pa=figures["snow_pa"],
        movers=actuators,
    )
    return Vent(
        VENT,
        kind=VentKind(figures["kind"]) if figures["kind"] else None,
        width_m=metres("width_mm"),
        height_m=metres("height_mm"),
        stroke_mm=figures["stroke_mm"],
        fixing_m=metres("fixing_mm"),
        key=KEY,
        leaf=leaf,
    )
