"""Rules across the cable runs of a circuit or line, which no single-table constraint can hold: they form a tree."""

from django.core.exceptions import ValidationError

from zones.engineering.conductors import CONDUCTOR_CLASSES, Conductor
from zones.engineering.quantities import QuantityError


def check_cable(cable):
    """Raise ValidationError, by field, where a run is of another building or circuit, runs in a ring, or cannot be."""
    errors = _of_another_building(cable) or {**_unlike_its_upstream(cable), **_unlike_its_device(cable)}
    if "upstream" not in errors and (ring := _ring(cable)):
        errors["upstream"] = ring
    if conductor := _no_conductor(cable):
        errors.update(conductor)
    if errors:
        raise ValidationError(errors)


def _of_another_building(cable):
    building_of = {
        "actuator_circuit": lambda circuit: circuit.panel.building_id,
        "detection_line": lambda line: line.panel.building_id,
        "upstream": lambda other: other.building_id,
        "feeds": lambda position: position.building_id,
        "far_box": lambda position: position.building_id,
    }
    return {
        name: f"{record} belongs to another building. Choose one of this building."
        for name, of in building_of.items()
        if (record := getattr(cable, name)) and cable.building_id and of(record) != cable.building_id
    }


def _run_of(record):
    return record.actuator_circuit_id, record.detection_line_id


def _unlike_its_upstream(cable):
    before = cable.upstream
    if before is None or _run_of(before) == _run_of(cable):
        return _left_behind(cable)
    owner = before.actuator_circuit or before.detection_line
    whose = f"a run of {owner}" if owner else "no run of a circuit or line"
    return {"upstream": f"Cable {before} is {whose}. Choose a cable of the same circuit or line."}


def _left_behind(cable):
    """A cable that others go on from cannot move to another circuit without them."""
    if not cable.pk:
        return {}
    others = [other for other in cable.continued_by.all() if _run_of(other) != _run_of(cable)]
    if not others:
        return {}
    field = "detection_line" if others[0].detection_line_id else "actuator_circuit"
    owner = others[0].actuator_circuit or others[0].detection_line
    return {field: f"Cable {others[0]} of {owner} goes on from this one. Change that one first."}


def _unlike_its_device(cable):
    if cable.far_box and cable.far_box.kind != "junction_box":
        return {"far_box": f"{cable.far_box} is no junction box. Choose a junction box."}
    position = cable.feeds
    if position is None:
        return {}
    if cable.actuator_circuit_id and position.actuator_circuit_id != cable.actuator_circuit_id:
        return {"feeds": f"{position} is not on {cable.actuator_circuit}. Put it there first, or choose another."}
    if cable.detection_line_id and position.detection_line_id != cable.detection_line_id:
        return {"feeds": f"{position} is not on {cable.detection_line}. Put it there first, or choose another."}
    return {}


def _ring(cable):
    """A sentence when following the runs towards the panel comes back to this cable."""
    if not cable.pk or not cable.upstream_id:
        return None
    rows = type(cable).objects.filter(building=cable.building_id).values_list("pk", "upstream")
    before = dict(rows) | {cable.pk: cable.upstream_id}
    passed, here = set(), cable.upstream_id
    while here is not None and here not in passed:
        if here == cable.pk:
            return f"Cable {cable.upstream} goes on from {cable} itself, so the runs would close a ring."
        passed.add(here)
        here = before.get(here)
    return None


def _no_conductor(cable):
    """Only sizes whose resistance a standard fixes can be computed; another one is told at its field."""
    if cable.awg:
        try:
            Conductor(awg=cable.awg)
        except QuantityError as error:
            return {"awg": f"{error.in_words()} Write 18 or 2/0."}
    elif cable.area_mm2 is not None and cable.area_mm2 > 0 and (cable.actuator_circuit_id or cable.detection_line_id):
        try:
            Conductor(float(cable.area_mm2), CONDUCTOR_CLASSES[0])
        except QuantityError as error:
            words = f"{error.in_words()} As a run of a circuit or line its resistance is looked up there (IEC 60228)."
            return {"area_mm2": words}
    return {}
