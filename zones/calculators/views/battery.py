"""The standby battery: how many ampere-hours a basis asks for, and whether a battery has them."""

from zones.calculators.forms.battery import BatteryForm
from zones.calculators.views.base import Answer, CalculatorPage, Head
from zones.engineering import (
    STANDBY_BASES,
    BatterySet,
    QuantityError,
    next_standard_size_ah,
    required_capacity,
)
from zones.engineering.batteries import ColderThanTable
from zones.engineering.battery_check import check_battery, sufficient_size_ah
from zones.engineering.battery_life import charger_current_a
from zones.engineering.battery_set import BatteryDuty
from zones.engineering.findings import Figure, Finding, Severity, missing, note
from zones.engineering.fuses import FUSE_KINDS
from zones.engineering.quantities import rounded_up, shown
from zones.engineering.sources import DATA_SHEET, DESIGN_ENTRY, EN_54_4, IEEE_485

BATTERY = "this panel"
FORMULA = "capacity = ageing × cold × (quiescent × standby + D × operating × time of operations)"
CHARGER = "charger = share to be charged × capacity / efficiency / hours + quiescent current"
VERDICTS = (Severity.MEETS, Severity.FAIL)
# Findings that need more than the calculator asks for.
LEFT_OUT = ("figure.unusual", "battery.age")
OF_THE_SET = (
    *("capacity_ah", "standby_h", "operations", "greatest_current_a", "fuse_a", "coldest_c", "usual_c"),
    *("charging_limit_a", "peukert_exponent"),
)


class BatteryPage(CalculatorPage):
    form_class = BatteryForm
    heading = "Standby battery"
    lead = "How many ampere-hours does the standby period ask for, and does a battery have them?"
    hint = "Choose the basis, and enter what the panel takes at rest and in alarm and how often the vents must move."

    def calculate(self, figures, practice):
        basis = STANDBY_BASES.get(figures["basis"])
        duty = BatteryDuty(
            figures["quiescent_a"],
            figures["panel_alarm_a"],
            figures["motors_a"],
            figures["seconds_each"],
            figures["charger_a"],
            figures["starting_a"],
            figures["starting_s"],
        )
        findings, heads, needed, size_ah = [], [], None, None
        if gaps := _gaps(figures, basis):
            findings += gaps
        else:
            needed, finding = _needed(figures, basis, duty, practice)
            findings.append(finding)
        if figures["capacity_ah"] is not None:
            battery = _battery(figures, basis)
            said = {finding.sentence for finding in findings}
            checked = check_battery(BATTERY, battery, duty, practice=practice)
            if any(one.code == "battery.capacity" and one.severity in VERDICTS for one in checked):
                findings = [one for one in findings if one.code != "battery.required"]
            findings += [one for one in checked if one.code not in LEFT_OUT and one.sentence not in said]
        if needed is not None:
            heads.append(Head("required", f"{rounded_up(needed.capacity_ah, 2):.2f} Ah"))
            size_ah = _size_ah(figures, basis, duty, needed, practice)
            heads.append(Head("standard size that suffices", f"{size_ah:g} Ah" if size_ah else "none"))
        if None not in (duty.motors_a, duty.panel_alarm_a):
            heads.append(Head("largest discharge", f"{rounded_up(duty.operating_a, 2):g} A"))
        charger, charger_head = _charger(figures, size_ah, practice)
        return Answer((*findings, *charger), (*heads, *charger_head))


def _battery(figures, basis):
    kind = FUSE_KINDS.get(figures["fuse_kind"])
    return BatterySet(basis=basis, fuse_kind=kind, **{name: figures[name] for name in OF_THE_SET})


def _size_ah(figures, basis, duty, needed, practice):
    """The size that every check of the battery is content with; by the capacity alone where cold leaves the table."""
    try:
        return sufficient_size_ah(_battery(figures, basis), duty, practice)
    except QuantityError:
        return next_standard_size_ah(needed.capacity_ah, practice.standard_battery_ah)


def _gaps(figures, basis):
    """What must be known for the required capacity; cold is told apart, because it only adds."""
    wanted = [
        ("basis and edition of the standby period", basis, DESIGN_ENTRY),
        ("quiescent current of the panel", figures["quiescent_a"], DATA_SHEET),
        ("current of the panel in alarm", figures["panel_alarm_a"], DATA_SHEET),
        ("current of all motors together", figures["motors_a"], DATA_SHEET),
    ]
    if basis is not None and basis.per_operation:
        wanted.append(("number of operations after standby", figures["operations"], DESIGN_ENTRY))
        wanted.append(("motor time of one operation", figures["seconds_each"], DATA_SHEET))
    # In the words of the check of a battery, so that none is told twice.
    return [
        missing("battery.capacity", BATTERY, what, [], source, not_checked=f"battery of {BATTERY}")
        for what, value, source in wanted
        if value is None
    ]


def _needed(figures, basis, duty, practice):
    """(RequiredCapacity, finding): a note; without the temperature it is no more than a lower limit."""
    coldest_c, is_too_cold = figures["coldest_c"], False

    def capacity(temperature_c):
        return required_capacity(
            basis,
            quiescent_a=duty.quiescent_a,
            operating_a=duty.operating_a,
            standby_h=figures["standby_h"],
            operations=figures["operations"] or 1,
            seconds_each=duty.seconds_each,
            temperature_c=temperature_c,
        )

    try:
        needed = capacity(coldest_c)
    except ColderThanTable:
        needed, is_too_cold = capacity(None), True
    except QuantityError as error:
        # Named as on the page: engineering speaks of the sum of both currents.
        field = "motors_a" if error.field == "operating_a" else error.field
        raise QuantityError(field, error.value, error.accepted) from error
    size_ah = next_standard_size_ah(needed.capacity_ah, practice.standard_battery_ah)
    words = f"{rounded_up(needed.capacity_ah, 2):g} Ah are required ({basis.name})"
    words += f"; the next standard size is {size_ah:g} Ah." if size_ah else "; no standard size holds that."
    source, severity = basis.source, Severity.NOTE
    if is_too_cold:
        words += f" Cold is not allowed for: {coldest_c:g} °C is colder than the table goes. Ask the battery's maker."
        source, severity = IEEE_485, Severity.MISSING
    elif coldest_c is None:
        words += " Cold is not allowed for: the coldest temperature at the battery is not known."
        severity = Severity.MISSING
    inputs = (
        Figure("quiescent current", duty.quiescent_a, "A"),
        Figure("standby", figures["standby_h"] or basis.standby_h, "h"),
        Figure("operating current", round(duty.operating_a, 3), "A"),
        Figure("time of operations", needed.operation_s, "s"),
        Figure("discharge factor D", needed.discharge_factor),
        Figure("ageing factor", needed.ageing_factor),
        Figure("cold factor", None if severity == Severity.MISSING else round(needed.temperature_factor, 3)),
        Figure("standard sizes", ", ".join(shown(size) for size in practice.standard_battery_ah), "Ah"),
    )
    return needed, Finding("battery.required", severity, BATTERY, words, source, inputs, FORMULA)


def _charger(figures, size_ah, practice):
    """(findings, heads): the charger for the battery entered, else for the standard size that suffices."""
    capacity_ah = figures["capacity_ah"]
    if capacity_ah is None:
        capacity_ah = size_ah
    if capacity_ah is None or figures["quiescent_a"] is None:
        return [], []
    wanted_a = charger_current_a(capacity_ah, quiescent_a=figures["quiescent_a"], practice=practice)
    head = Head(f"charger for {capacity_ah:g} Ah", f"{rounded_up(wanted_a, 2):g} A")
    if figures["capacity_ah"] is not None and figures["charger_a"] is not None:
        return [], [head]  # check_battery has given its verdict
    words = (
        f"The charger of {capacity_ah:g} Ah must give {rounded_up(wanted_a, 2):g} A, the current at rest beside it: "
        f"back to {practice.recharge_fraction:.0%} within {practice.recharge_h:g} h."
    )
    inputs = (
        Figure("capacity", capacity_ah, "Ah"),
        Figure("quiescent current", figures["quiescent_a"], "A"),
        Figure("share to be charged", practice.recharge_fraction),
        Figure("within", practice.recharge_h, "h"),
        Figure("charging efficiency", practice.charging_efficiency),
    )
    return [note("battery.charger_needed", BATTERY, words, EN_54_4, inputs, CHARGER)], [head]
