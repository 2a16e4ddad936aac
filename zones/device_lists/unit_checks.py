"""The unit of a row: who made it, which it is, whether it may be fitted there, whether it swaps another out."""

from zones.device_lists.cells import CellFault, a_kind, read_date, read_serial
from zones.device_lists.rows import UnitPlan
from zones.device_lists.snapshot import key
from zones.models import DeviceKind


def check_unit(plan, snapshot, index, today):
    """Add the model planned and the UnitPlan of a row, or its faults."""
    if not {"maker", "model", "serial", "batch", "fitted_on"} & set(plan.cells):
        return
    if not plan.kind:
        return  # without a kind nothing more can be said
    row = plan.row
    faults = len(row.faults)
    model = _check_model(plan, snapshot, index)
    fitted_on = _date(plan, today)
    if len(row.faults) > faults:
        return
    if "serial" in plan.cells:
        try:
            read_serial(plan.cells["serial"])
        except CellFault as fault:
            row.fault("serial", str(fault))
            return
    if "serial" not in row.cells:
        _plan_model(plan, model)
        _correct_present_unit(plan, snapshot, fitted_on)
        return
    unit, model_key = _which_unit(plan, snapshot, index, model)
    if len(row.faults) > faults:
        return
    fitting = plan.fitting
    if fitting and unit and fitting.unit_id == unit.pk:
        _correct_present_unit(plan, snapshot, fitted_on)
        return
    if plan.position is None and model_key:
        plan.fields["product_model"] = model_key
    _fit(plan, snapshot, index, unit, model_key, fitted_on or today)


def _check_model(plan, snapshot, index):
    """Key of the model that the row names, or None when it names none."""
    row = plan.row
    maker, name = row.cells.get("maker", ""), row.cells.get("model", "")
    if not maker and not name:
        return None
    if not name:
        row.fault("maker", f"'{maker}' stands without a model. Write the model too, or leave the maker empty.")
        return None
    if not maker:
        model = snapshot.model_by_name(name, plan.kind)
        if model is None:
            row.fault("model", f"'{name}' stands without its maker and is no single model's name. Write the maker too.")
            return None
        return key(model.maker.name), key(model.name)
    model_key = key(maker), key(name)
    known = snapshot.models.get(model_key)
    if known:
        kind, where = known.kind, "in the register"
    else:
        kind, first_row = index.model_kinds.get(model_key, (plan.kind, row.number))
        where = f"in row {first_row}"
    if kind != plan.kind:
        row.fault(
            "model",
            f"{maker} {name} is {a_kind(kind)} {where}, and this row is {a_kind(plan.kind)}. "
            "Correct the model or the kind.",
        )
        return None
    if not known:
        plan.model = maker, name, plan.kind
        plan.makes.append(f"model {maker} {name} ({DeviceKind(plan.kind).label})")
    return model_key


def _date(plan, today):
    if "fitted_on" not in plan.row.cells:
        return None
    try:
        return read_date(plan.row.cells["fitted_on"], today)
    except CellFault as fault:
        plan.row.fault("fitted_on", str(fault))
        return None


def _plan_model(plan, model_key):
    if model_key is None:
        return
    planned = plan.position and plan.position.product_model
    if planned and (key(planned.maker.name), key(planned.name)) == model_key:
        return
    plan.change("model", planned or "", f"{plan.row.cells.get('maker', '')} {plan.row.cells['model']}".strip())
    plan.fields["product_model"] = model_key


def _correct_present_unit(plan, snapshot, fitted_on):
    """Date code and date of the unit that is there already."""
    row, fitting = plan.row, plan.fitting
    batch = plan.cells.get("batch")
    if fitting is None:
        for column in ("batch", "fitted_on"):
            if column in plan.cells:
                row.fault(
                    column,
                    f"'{plan.cells[column]}' belongs to a unit, and the row has no serial. Write the serial, or leave "
                    "the cell empty.",
                )
        return
    corrects = fitted_on is not None and fitted_on != fitting.fitted_on
    if not batch and not corrects:
        return
    plan.unit = UnitPlan(serial=fitting.unit.serial, model_key=None, unit=fitting.unit)
    if batch:
        plan.change("batch", fitting.unit.batch, batch)
        plan.unit.batch = batch
    if corrects:
        last = snapshot.last_removed.get(plan.position.pk)
        if last and fitted_on < last:
            row.fault(
                "fitted_on",
                f"{fitted_on:%-d %b %Y} is before the unit that was there came off ({last:%-d %b %Y}). "
                "Write that day or a later one.",
            )
        plan.change("fitted_on", fitting.fitted_on.isoformat(), fitted_on.isoformat())
        plan.unit.corrects, plan.unit.fitted_on = fitting, fitted_on


def _which_unit(plan, snapshot, index, model_key):
    """(Unit or None when new, key of its model)."""
    row, serial = plan.row, plan.row.cells["serial"]
    candidates = snapshot.units.get(key(serial), [])
    if model_key:
        unit = next((unit for unit in candidates if key(unit.maker.name) == model_key[0]), None)
    else:
        candidates = [unit for unit in candidates if unit.product_model.kind == plan.kind]
        present = plan.fitting and next((unit for unit in candidates if unit.pk == plan.fitting.unit_id), None)
        unit = present or (candidates[0] if len(candidates) == 1 else None)
        if unit is None and len(candidates) > 1:
            row.fault("serial", f"'{serial}' is a serial of several makers. Write maker and model too.")
            return None, None
    if unit:
        stored = key(unit.maker.name), key(unit.product_model.name)
        if model_key and stored != model_key:
            row.fault(
                "model",
                f"Serial '{unit.serial}' is a {unit.product_model} in the register. Correct the model or the serial.",
            )
        elif unit.product_model.kind != plan.kind:
            row.fault(
                "serial",
                f"'{unit.serial}' is {a_kind(unit.product_model.kind)} in the register. Correct the serial.",
            )
        return unit, stored
    planned = plan.position and plan.position.product_model
    if not model_key and planned:
        model_key = key(planned.maker.name), key(planned.name)
    if not model_key:
        row.fault("serial", f"'{serial}' is new to the register, so it needs maker and model. Write both in the row.")
    return None, model_key


def _fit(plan, snapshot, index, unit, model_key, fitted_on):
    row, fitting, serial = plan.row, plan.fitting, plan.row.cells["serial"]
    maker = key(row.cells.get("maker", ""))
    # Of two makers the same serial may be two units; where one row names no maker, it may be one.
    earlier = next(
        (n for n, other in index.serials[key(serial)] if not maker or not other or maker == other), row.number
    )
    if earlier != row.number:
        row.fault("serial", f"'{serial}' stands in row {earlier} already. One unit is in one place: correct one row.")
        return
    if unit and not _is_free(plan, snapshot, index, unit, fitted_on):
        return
    if fitting and fitted_on < fitting.fitted_on:
        row.fault(
            "fitted_on",
            f"'{fitting.unit.serial}' was fitted here on {fitting.fitted_on:%-d %b %Y}; the unit that replaces it "
            f"cannot be fitted on {fitted_on:%-d %b %Y}. Correct the date.",
        )
    last = plan.position and snapshot.last_removed.get(plan.position.pk)
    if last and fitted_on < last:
        row.fault(
            "fitted_on",
            f"{plan.position.tag} had a unit until {last:%-d %b %Y}. Write that day or a later one, "
            f"not {fitted_on:%-d %b %Y}.",
        )
    model = snapshot.models.get(model_key) or " ".join(plan.model[:2])
    before = f"{fitting.unit.serial} (comes off {fitted_on:%-d %b %Y})" if fitting else ""
    plan.change("serial", before, f"{serial}, {model} (fitted {fitted_on:%-d %b %Y})")
    batch = row.cells.get("batch", "")
    if unit and batch and batch != unit.batch:
        plan.change("batch", unit.batch, batch)
    plan.unit = UnitPlan(
        serial=serial, model_key=model_key, unit=unit, batch=batch, opens=True, closes=fitting, fitted_on=fitted_on
    )


def _is_free(plan, snapshot, index, unit, fitted_on):
    """Whether the unit is in store, or leaves its place through another row of this file."""
    row, standing = plan.row, snapshot.standing.get(unit.pk)
    if standing and not (standing.position.building_id == snapshot.building.pk and unit.pk in index.releases):
        building = standing.position.building
        where = f"at {standing.position.tag}" if building.pk == snapshot.building.pk else f"in {building.name}"
        row.fault(
            "serial", f"'{unit.serial}' is fitted {where} already. Take it off there first, or correct the serial."
        )
        return False
    until = snapshot.unit_last_removed.get(unit.pk)
    if standing:
        try:
            leaves_on = read_date(index.releases[unit.pk].cells.get("fitted_on", ""), fitted_on)
        except CellFault:
            leaves_on = None
        until = max(filter(None, (until, leaves_on, standing.fitted_on)))
    if until and fitted_on < until:
        row.fault(
            "fitted_on",
            f"'{unit.serial}' was fitted elsewhere until {until:%-d %b %Y}. Write that day or a later one, "
            f"not {fitted_on:%-d %b %Y}.",
        )
        return False
    return True
