"""Records → the rule by which a reading on site is judged: of this actuator's model, this circuit, line, battery.

`RulesOfBuilding(building).rule(kind, position_pk, …)` gives (rule, key of the product model that is asked), or None
where the record says nothing of it. The building is read once, as for its design check.
"""

from dataclasses import replace
from decimal import Decimal
from functools import cached_property

from django.utils import timezone

from zones.design_check import parts
from zones.design_check.checked import checked_building
from zones.design_check.line_meters import meter_readings
from zones.design_check.rows import with_models
from zones.engineering.battery_age import battery_age
from zones.engineering.cables import TreeError
from zones.engineering.circuit_check import missing_figures
from zones.engineering.circuits import circuit_voltages
from zones.engineering.line_words import kohm_figure
from zones.engineering.panel_check import source_voltages
from zones.engineering.quantities import QuantityError
from zones.engineering.readings import actuators, lines, supplies
from zones.engineering.readings.rule import Term
from zones.engineering.solved_circuits import DISCHARGED, MAINS, solve_circuit
from zones.models import Position

KIND_OF_CODE = {
    ("running-current", "A"): "current",
    ("starting-current", "A"): "starting",
    ("voltage-at-last-actuator", "V"): "voltage",
    ("opening-time", "s"): "opening",
    ("opening-time-on-battery", "s"): "opening on battery",
    ("run-time", "s"): "run time",
    ("actuators-found", ""): "found",
    ("supply-voltage", "V"): "supply",
    ("mains-change-over", "V"): "loaded",
    ("charger-voltage", "V"): "charger",
    ("battery-failure", "V"): "charger alone",
    ("battery-rest-voltage", "V"): "rest",
    ("battery-load-voltage", "V"): "loaded",
    ("quiescent-current", "A"): "quiescent",
    ("battery-age", "years"): "age",
}
# What a step of a commissioning plan, or a check of the office's own, measures: by its words.
KIND_OF_QUANTITY = {
    ("supply voltage", "V"): "supply",
    ("supply voltage under load", "V"): "loaded",
    ("charger voltage", "V"): "charger alone",
    ("battery voltage", "V"): "connected",
    ("mains terminals", "V"): "dead",
    ("battery leads", "V"): "dead",
    ("mains voltage", "V"): "mains",
    ("starting current", "A"): "starting",
    ("running current", "A"): "current",
    ("quiescent current", "A"): "quiescent",
    ("voltage at the actuator", "V"): "voltage",
    ("opening time", "s"): "opening",
    ("stroke time", "s"): "opening",
    ("run time", "s"): "run time",
    ("actuators found", ""): "found",
    ("insulation resistance", "MΩ"): "insulation",
}
OHM_PER_UNIT = {"kΩ": 1_000.0, "Ω": 1.0}
LINE_WORDS = ("line resistance", "line resistance, normal")
# The resistance range of an end-of-line check is written for this resistor and scaled to the line's own.
STANDARD_RESISTOR_OHM = Decimal(10_000)


def kind_of_reading(code, quantity, unit, *, is_line=False):
    """Which rule judges a reading, or None."""
    quantity = quantity.strip().lower()
    if unit in OHM_PER_UNIT and (is_line or quantity in LINE_WORDS):
        return "line"
    return KIND_OF_CODE.get((code, unit)) or KIND_OF_QUANTITY.get((quantity, unit))


class RulesOfBuilding:
    """The rules of a building's readings on a day; reads its design once, when the first is asked."""

    def __init__(self, building, on=None):
        self.building, self.on = building, on or timezone.localdate()

    def rule(self, kind, position_pk, *, unit="", protocol=((), ()), first=((), ())):
        """(rule, key of the model whose figures it asks) for a reading at a position, or None.

        `protocol`, `first`: lower and upper terms of the protocol and of the first value of the unit. Those of the
        protocol are joined where they are stricter, except where the record says the same thing more exactly.
        """
        of_kind = {
            "current": self._current,
            "starting": self._starting,
            "voltage": self._voltage,
            "opening": self._opening,
            "opening on battery": self._opening,
            "run time": self._run_time,
            "found": self._found,
            "line": self._line,
            "quiescent": self._quiescent,
            "age": self._age,
            "charger": self._charger,
        }.get(kind, self._of_supply)
        return of_kind(kind, position_pk, unit=unit, protocol=protocol, first=first)

    # --- actuators and their circuits ---

    def _current(self, _kind, pk, *, protocol, first, **_):
        row, whose, actuator, _, _ = self._actuator(pk)
        return _with(actuators.running_current(actuator, whose, first), protocol), _key(row)

    def _starting(self, _kind, pk, *, protocol, **_):
        row, whose, actuator, _, _ = self._actuator(pk)
        return _with(actuators.starting_current(actuator, whose), protocol), _key(row)

    def _voltage(self, _kind, pk, *, protocol, **_):
        row, whose, actuator, circuit, checked = self._actuator(pk)
        computed_v = circuit and _least_volts(checked, circuit).get(actuator.name)
        return _with(actuators.voltage_at_actuator(actuator, whose, computed_v), protocol), _key(row)

    def _opening(self, kind, pk, *, protocol, **_):
        row, whose, actuator, circuit, checked = self._actuator(pk)
        basis = getattr(self.building, "design_basis", None)
        limit = None
        if basis and basis.opening_limit_s:
            limit, protocol = Term("design basis of the building", float(basis.opening_limit_s)), (protocol[0], ())
        rule = actuators.opening_time(
            actuator,
            whose,
            delay_s=circuit.delay_s if circuit else 0.0,
            run_time_s=circuit.run_time_s if circuit else None,
            limit=limit,
            solved=circuit and _way(checked, circuit, actuator, DISCHARGED if kind == "opening on battery" else MAINS),
        )
        return _with(rule, protocol), _key(row)

    def _run_time(self, _kind, pk, *, protocol, **_):
        row, whose, actuator, circuit, checked = self._actuator(pk)
        if circuit is None:
            return None
        stagger_s = checked.design.supply.stagger_s
        rule = actuators.run_time(actuator, whose, circuit, checked.practice, stagger_s=stagger_s)
        return _with(rule, protocol), _key(row)

    def _found(self, _kind, pk, *, protocol, **_):
        row, _, _, circuit, _ = self._actuator(pk)
        return None if circuit is None else (_with(actuators.actuators_found(circuit), protocol), _key(row))

    def _actuator(self, pk):
        """(position, words for its model, actuator, circuit or None, the checked panel of the circuit or None)."""
        row = self._positions.get(pk) or self._loose[pk]
        whose = str(row.model_here) if row.model_here else f"the {row.kind.replace('_', ' ')} at {row.tag}"
        checked, circuit = self._circuits.get(row.actuator_circuit_id, (None, None))
        found = next((one for one in circuit.actuators if one.name == row.tag), None) if circuit else None
        return row, whose, found or parts.actuator_of([], row, None, None), circuit if found else None, checked

    # --- lines ---

    def _line(self, _kind, pk, *, unit, protocol, **_):
        row = self._positions.get(pk) or self._loose[pk]
        checked, line = self._lines.get(row.detection_line_id, (None, None))
        if line is None:
            return None
        per_unit = OHM_PER_UNIT[unit]
        lower, upper = _range_of_panel(checked, per_unit) or _scaled(protocol, line)
        meter = self._meters.get(line.pk)
        if limits := meter and meter.limits_kohm:
            source = "design check: resistor, cable and devices of the line, all tolerances at worst"
            lower, upper = ((Term(source, float(end * 1_000) / per_unit),) for end in limits)
        rule = lines.line_resistance(
            lower,
            upper,
            resistor_ohm=line.end_of_line_ohm and float(line.end_of_line_ohm),
            ohm_per_unit=per_unit,
            computed_ohm=meter and meter.nominal_ohm,
            practice=checked.practice,
        )
        return rule, None

    @cached_property
    def _meters(self):
        """What the design check computes for each line."""
        return {one.line_pk: one for checked in self._design for one in meter_readings(checked)}

    # --- panels ---

    def _of_supply(self, kind, pk, *, protocol, **_):
        if kind in ("mains", "dead", "insulation"):
            make = {"mains": supplies.mains_voltage, "dead": supplies.proven_dead, "insulation": supplies.insulation}
            return _with(make[kind](), protocol), None
        checked = self._panel(pk)
        rated_v, whose, key = _system(checked)
        if kind == "loaded":
            rule = supplies.battery_loaded(rated_v, whose, checked.practice) if checked else None
        else:
            make = {
                "supply": supplies.supply_voltage,
                "charger alone": supplies.charger_alone,
                "connected": supplies.battery_connected,
                "rest": supplies.battery_at_rest,
            }
            rule = make[kind](rated_v, whose)
        return None if checked is None else (_with(rule, protocol), key)

    def _charger(self, _kind, pk, *, protocol, **_):
        """The protocol's limits, which the office may edit, stand for a set of 24 V at 20 to 25 °C."""
        checked = self._panel(pk)
        if checked is None:
            return None
        rated_v, whose, key = _system(checked)
        usual_c = checked.panel.battery_usual_c and float(checked.panel.battery_usual_c)
        rule = supplies.charger_voltage(rated_v, whose, usual_c)
        if any(protocol) and rated_v in (None, 24) and not supplies.is_float_moved(usual_c):
            rule = replace(rule, lower=protocol[0], upper=protocol[1], asks=())
        return rule, key

    def _quiescent(self, _kind, pk, *, protocol, **_):
        checked = self._panel(pk)
        computed_a = checked and checked.design.supply.quiescent_current_a
        return (_with(supplies.quiescent_current(computed_a), protocol), None) if computed_a else None

    def _age(self, _kind, pk, *, protocol, **_):
        checked = self._panel(pk)
        battery = checked and checked.records.battery
        if battery is None or battery.fitted_on > self.on:
            return None
        age = battery_age(
            fitted_on=battery.fitted_on,
            made_on=battery.made_on,
            date_code=battery.date_code,
            service_years=1,
            design_life_years=None,
            usual_c=None,
            not_after=self.on,
        )
        if not age.is_known:
            return None
        return _with(supplies.battery_years(age.years(self.on), str(age.basis)), protocol), None

    def _panel(self, pk):
        """The panel at a position, or to which the position belongs; None where there is none."""
        if pk in self._panels:
            return self._panels[pk]
        row = self._positions.get(pk) or self._loose[pk]
        return next((one for one in self._design if one.panel.pk == row.panel_id), None)

    # --- what was read ---

    @cached_property
    def _design(self):
        return checked_building(self.building).panels

    @cached_property
    def _panels(self):
        return {checked.panel.position_id: checked for checked in self._design}

    @cached_property
    def _positions(self):
        return {row.pk: row for checked in self._design for row in checked.records.positions}

    @cached_property
    def _loose(self):
        """Positions that hang on no panel, too."""
        return {row.pk: row for row in with_models(Position.objects.filter(building=self.building))}

    @cached_property
    def _circuits(self):
        found = {}
        for checked in self._design:
            made = {circuit.name: circuit for circuit in checked.design.circuits}
            found |= {row.pk: (checked, made.get(parts.circuit_name(row))) for row in checked.records.circuits}
        return found

    @cached_property
    def _lines(self):
        return {line.pk: (checked, line) for checked in self._design for line in checked.records.lines}


def _with(rule, protocol):
    lower, upper = protocol
    return replace(rule, lower=(*rule.lower, *lower), upper=(*rule.upper, *upper))


def _key(row):
    return row.model_here.pk if row.model_here else None


def _system(checked):
    """(rated voltage, words, key) of a panel's model; without one, the voltage of the blocks in series."""
    model = checked and checked.records.model
    if model is None:
        return None, f"the panel {checked.panel.tag}" if checked else "", None
    return parts.of_model([], str(model), model, "rated_voltage_v"), str(model), model.pk


def _range_of_panel(checked, ohm_per_unit):
    """The normal range of the panel's own data sheet as lower and upper terms; None where it names none."""
    model = checked.records.model
    ends = (getattr(model, "normal_low_ohm", None), getattr(model, "normal_high_ohm", None))
    if None in ends:
        return None
    source = f"normal range of the lines of {model}, data sheet"
    return tuple((Term(source, float(end) / ohm_per_unit),) for end in ends)


def _scaled(protocol, line):
    """The protocol's limits for this line's resistor, as they are printed: what is printed passes."""
    factor = line.end_of_line_ohm / STANDARD_RESISTOR_OHM if line.end_of_line_ohm else 1
    if factor == 1:
        return protocol
    resistor = f"{line.end_of_line_ohm / 1000:.3f}".rstrip("0").rstrip(".")
    return tuple(
        tuple(
            Term(f"{term.source}; scaled to {resistor} kΩ of {line}", float(kohm_figure(term.plus * float(factor))))
            for term in terms
        )
        for terms in protocol
    )


def _way(checked, circuit, actuator, source):
    """The travel of an actuator from one source, all running and no fire, as the design check has it."""
    mains_v, discharged_v = source_voltages(checked.design, checked.practice)
    volts = {"mains_v": mains_v, "discharged_v": discharged_v, "practice": checked.practice}
    travels = solve_circuit(circuit, **volts).travels  # the mildest condition first: outside the fire
    return next((one for one in travels if one.source == source and one.actuator.name == actuator.name), None)


def _least_volts(checked, circuit):
    """Volts at each actuator, all running at the end of discharge, as the design check has them; empty: not known."""
    mains_v, discharged_v = source_voltages(checked.design, checked.practice)
    if discharged_v is None or missing_figures(circuit, mains_v, discharged_v):
        return {}
    try:
        answers = circuit_voltages(circuit, mains_v=None, discharged_v=discharged_v, practice=checked.practice)
    except (TreeError, QuantityError):
        return {}
    running = [one.actuator_v for one in answers if not one.condition.starting and not one.condition.in_fire]
    return (running and running[0]) or {}
