"""Leaf, loads and classes of a vent as engineering's plain data: its own figures before those of the design basis."""

from sites_registry.words import plain_number
from zones.design_check.stored_figures import first_known, known
from zones.engineering.leaf_force import HingeAt, Leaf
from zones.engineering.vent_classes import VentClasses, in_words
from zones.models.vent_loads import CLASSES, LOADS

OF_ENGINEERING = dict(zip(CLASSES, ("wind_pa", "snow_pa", "cold_c", "reliability", "heat_c"), strict=True))

NONE_DECLARED = VentClasses()


def loads_of(basis):
    """Wind and snow by the design basis of a building, which may be None."""
    return tuple(getattr(basis, load, None) for load in LOADS)


def of_vent(refused, name, vent, movers, basis_loads):
    """What engineering's vent has of its leaf and its declared classes, by the names of its fields.

    Args:     movers: how many actuators move it; basis_loads: see :func:`loads_of`.
    """
    stated = zip(LOADS, basis_loads, strict=True)
    loads = {
        load: first_known(refused, name, (load, getattr(vent, load)), (load, by_basis)) for load, by_basis in stated
    }
    leaf = Leaf(
        mass_kg=known(refused, name, "leaf_mass_kg", vent.leaf_mass_kg),
        installed_deg=known(refused, name, "installed_deg", vent.installed_deg),
        hinge_at=HingeAt(vent.hinge_at) if vent.hinge_at else None,
        opens_inwards=bool(vent.opens_inwards),
        bracket_m=known(refused, name, "bracket_from_hinge_mm", vent.bracket_from_hinge_mm),
        bracket_depth_m=known(refused, name, "bracket_depth_mm", vent.bracket_depth_mm),
        movers=movers,
        **loads,
    )
    return {"leaf": leaf, "classes": classes_of(vent)}


def classes_of(record):
    """The classes of a vent, or those that a design basis asks; None without a basis."""
    if record is None:
        return None
    declared = {name: value for field, name in OF_ENGINEERING.items() if (value := getattr(record, field)) is not None}
    return VentClasses(**declared) if declared else NONE_DECLARED


def leaf_in_words(vent):
    """Weight of a leaf and declared classes: "leaf 40 kg, WL 1500, T(-15)"; empty where none is recorded."""
    classes = classes_of(vent)
    weight = [] if vent.leaf_mass_kg is None else [f"leaf {plain_number(vent.leaf_mass_kg)} kg"]
    return ", ".join([*weight, *(in_words(name, getattr(classes, name)) for name in classes.asked)])
