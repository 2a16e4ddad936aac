"""How a fault gets into the records of the demo: with every rule checked."""

from zones.models import ActuatorCircuit, DetectionLine, ProductModel


def save(record, **changes):
    """Set these fields and save with every rule checked."""
    for name, value in changes.items():
        setattr(record, name, value)
    record.full_clean()
    record.save()
    return record


def panel_of(building, tag):
    return building.panels.get(position__tag=tag)


def circuit_of(building, tag, number):
    return ActuatorCircuit.objects.get(panel=panel_of(building, tag), number=number)


def line_of(building, tag, number):
    return DetectionLine.objects.get(panel=panel_of(building, tag), number=number)


def devices_of(line):
    return list(line.positions.order_by("order_on_line"))


def variant(model, name, **figures):
    """Another model of the same maker that differs in these figures; made once."""
    found = ProductModel.objects.filter(maker=model.maker, name=name).first()
    if found:
        return found
    copy = ProductModel.objects.get(pk=model.pk)
    copy.pk, copy._state.adding = None, True
    return save(copy, name=name, **figures)


def refit(position, model):
    """Let the unit at a position be of another model."""
    unit = position.fittings.get(removed_on=None).unit
    save(position, product_model=model)
    return save(unit, product_model=model)
