"""Where the figures of a zone's vents are entered: at the vent, on a data sheet, or in the design basis."""

import re

FIGURE_OF_MOVERS = {
    "stroke": "stroke_mm",
    "kind of load": "load_kind",
    "push force": "push_force_n",
    "pull force": "pull_force_n",
    "holding force": "holding_force_n",
    "push force at a lower voltage": "lower_push_force_n",
    "pull force at a lower voltage": "lower_pull_force_n",
}
FIELD_OF_VENT = {
    "kind of opening": "leaf",
    "clear width": "width_mm",
    "clear height": "height_mm",
    "depth of reveal": "reveal_mm",
    "whether walls or neighbours close the sides": "sides_blocked",
    "number of blades": "blades",
    "blade pitch": "blade_pitch_mm",
    "blade angle": "blade_angle_deg",
    "declared aerodynamic area or tested coefficient": "aerodynamic_area_m2",
    "angle of test or declaration": "tested_angle_deg",
    "declared geometric area": "geometric_area_m2",
    "declared aerodynamic area": "aerodynamic_area_m2",
    "weight of the leaf": "leaf_mass_kg",
    "angle of installation": "installed_deg",
    "place of the actuator on the frame": "bracket_from_hinge_mm",
    "depth of the actuator behind the leaf": "bracket_depth_mm",
    "declared class WL": "wind_class_pa",
    "declared class SL": "snow_class_pa",
    "declared class T": "cold_class_c",
    "declared class Re": "reliability_class",
    "declared class B": "heat_class_c",
}
OF_THE_BASIS = ("wind against opening", "snow")


def named_in(vents, sentence):
    """The vent that a sentence names first, or None."""
    places = {
        found.start(): vent
        for vent in vents
        if (found := re.search(rf"(?<!\w){re.escape(vent.tag)}(?![\w.])", sentence))
    }
    return places[min(places)] if places else None


def first_named(what):
    """The first figure of a list in words: "declared classes WL and T" begins with "declared class WL"."""
    return what.split(", ")[0].split(" and ")[0].replace("classes", "class")
