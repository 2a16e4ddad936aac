"""A panel's supply and its battery set as engineering's plain data (see parts.py)."""

from dataclasses import replace

from zones import engineering
from zones.design_check import parts
from zones.engineering.findings import missing
from zones.engineering.fuses import FUSE_KINDS, ProtectiveDevice
from zones.engineering.sources import DATA_SHEET
from zones.models.kinds import facts_of


def supply_of(refused, records):
    """The panel's supply: the panel's own figures before the data sheet of its model."""
    panel, model, name = records.panel, records.model, records.panel.tag

    def figure(own, of_data_sheet=None):
        of_data_sheet = of_data_sheet or own
        candidates = (own, getattr(panel, own)), (of_data_sheet, getattr(model, of_data_sheet, None))
        return parts.first_known(refused, name, *candidates)

    inhibited = panel.charger_inhibited
    if inhibited is None:
        inhibited = getattr(model, "charger_inhibited", None)
    return engineering.PowerSupply(
        rated_current_a=figure("supply_limit_a"),
        output_voltage_v=parts.of_model(refused, name, model, "rated_voltage_v"),
        own_drop_v=figure("own_voltage_drop_v"),
        quiescent_current_a=quiescent_a(refused, records),
        alarm_current_a=figure("alarm_current_a"),
        charger_current_a=figure("charger_current_a"),
        charger_inhibited=inhibited,
        sequential=panel.operation == panel.Operation.SEQUENTIAL,
        gap_s=parts.known(refused, name, "gap_s", panel.gap_s) or 0.0,
        stagger_s=parts.known(refused, name, "stagger_s", panel.stagger_s) or 0.0,
        peak_current_a=parts.of_model(refused, name, model, "supply_peak_a"),
        highest_voltage_v=parts.of_model(refused, name, model, "output_highest_v"),
        fault_current_a=parts.of_model(refused, name, model, "supply_fault_a"),
        fuse=_supply_fuse(refused, name, model),
    )


def _supply_fuse(refused, name, model):
    """The fuse between supply and outputs, or None where none is recorded."""
    rated_a = parts.of_model(refused, name, model, "supply_fuse_a")
    kind = FUSE_KINDS.get(getattr(model, "supply_fuse_kind", ""))
    return None if rated_a is None and kind is None else ProtectiveDevice(kind, rated_a)


def quiescent_a(refused, records):
    """Quiescent current with everything on the panel, A; None where one figure of it is not known.

    As entered for the panel, else the model's with the standby currents of its devices added: a rain sensor takes
    more over three days than the motors in three minutes.
    """
    panel, name = records.panel, records.panel.tag
    if panel.quiescent_current_a is not None:
        return parts.known(refused, name, "quiescent_current_a", panel.quiescent_current_a)
    own_a = parts.of_model(refused, name, records.model, "standby_current_a")
    if own_a is None:
        return None
    unknown, total_a, of_sheet = [], own_a, {None: None}
    for position in records.positions:
        model = position.model_here
        key = model and model.id
        if key not in of_sheet:
            of_sheet[key] = parts.of_model([], position.tag, model, "standby_current_a")
        drawn_a = of_sheet[key]
        if drawn_a is not None:
            total_a += drawn_a
        elif facts_of(position.kind).is_electronic:  # a contact or a motor may draw nothing at rest
            unknown.append(position.tag)
    if unknown:
        unchecked = f"quiescent current of {name}"
        refused.append(missing("supply.quiescent", name, "standby current", unknown, DATA_SHEET, not_checked=unchecked))
        return None
    return round(total_a, 6)


def battery_of(refused, records):
    """The battery set with what the building's basis asks of it; None where no set is recorded."""
    battery, model, name = records.battery, records.model, records.panel.tag
    if battery is None:
        return None
    sheet = battery.product_model
    strings = strings_of(battery, getattr(model, "rated_voltage_v", None))

    def figure(own, of_data_sheet=None, times=1):
        of_data_sheet = of_data_sheet or own
        candidates = (own, getattr(battery, own)), (of_data_sheet, getattr(sheet, of_data_sheet, None))
        value = parts.first_known(refused, f"Battery of {name}", *candidates)
        return None if value is None else value * times

    return replace(
        battery_place(refused, records),
        capacity_ah=figure("capacity_ah", times=strings),
        greatest_current_a=figure("discharge_limit_a", times=strings),
        charging_limit_a=_charging_limit_a(refused, name, sheet, strings),
        peukert_exponent=parts.of_model(refused, name, sheet, "peukert_exponent"),
        internal_ohm=_internal_ohm(refused, battery, sheet, strings),
        date_code=battery.date_code or None,
        made_on=battery.made_on,
        design_life_years=figure("design_life_years", "service_life_years"),
    )


def _charging_limit_a(refused, name, sheet, strings):
    """What the set may be charged with: each string takes its share."""
    each_a = parts.of_model(refused, f"Battery of {name}", sheet, "charging_limit_a")
    return None if each_a is None else each_a * strings


def _internal_ohm(refused, battery, sheet, strings):
    """Of the set: blocks in series add up, strings share; None where the data sheet does not say it."""
    each_mohm = parts.of_model(refused, str(battery), sheet, "internal_resistance_mohm")
    return None if each_mohm is None else 1e-3 * each_mohm * (battery.blocks / strings) / strings


def battery_place(refused, records):
    """What building and panel ask of a battery, whichever stands there: basis, operations, temperatures, fuse."""
    panel, model, basis, name = records.panel, records.model, records.basis, records.panel.tag
    fuse = ("battery_fuse_a", panel.battery_fuse_a), ("battery_fuse_a", getattr(model, "battery_fuse_a", None))
    return engineering.BatterySet(
        basis=basis.basis if basis else None,
        standby_h=parts.known(refused, name, "standby_hours", basis.standby_hours) if basis else None,
        operations=basis.operations if basis else None,
        fuse_a=parts.first_known(refused, name, *fuse),
        fuse_kind=FUSE_KINDS.get(getattr(model, "battery_fuse_kind", "")),
        lead_mm2=parts.of_model(refused, name, model, "battery_lead_mm2"),
        lead_m=parts.of_model(refused, name, model, "battery_lead_m"),
        coldest_c=parts.known(refused, name, "battery_coldest_c", panel.battery_coldest_c),
        usual_c=parts.known(refused, name, "battery_usual_c", panel.battery_usual_c),
    )


def strings_of(battery, system_v):
    """How many strings of blocks in series the set has; one where the voltage of a block is not known."""
    block_v = getattr(battery.product_model, "rated_voltage_v", None)
    if not block_v or not system_v:
        return 1
    return max(1, int(battery.blocks * block_v / system_v))
