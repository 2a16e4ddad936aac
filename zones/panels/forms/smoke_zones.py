"""What may be typed about smoke zones, their vents and groups."""

from sites_registry.forms.base import show_where_empty
from zones.editing.forms import GroupedForm, ZonesModelForm, shown_for
from zones.engineering.area_methods import INPUT_QUANTITIES, METHODS
from zones.models import ControlPanel, SmokeZone, Vent, VentGroup
from zones.models.vent_loads import CLASSES, LOADS

METHOD = "By a method"


class ZoneForm(GroupedForm):
    fixed_fields = ("building",)
    first_heading = "Zone"
    method_heading = METHOD
    field_groups = (
        (
            "Required area",
            "As the fire strategy asks: this is what is judged.",
            ("required_area_m2", "required_area_kind", "required_area_source"),
        ),
        (
            METHOD,
            "How the area is found. Beside a figure of the strategy it is compared; without one its result is what is "
            "required. A smoke plume is a sanity check and never gives a verdict.",
            ("area_method", *INPUT_QUANTITIES),
        ),
        (
            "Replacement air",
            "What the strategy asks of inlets: their area over that of the outlets. Inlets are vents of the zone.",
            ("inlet_ratio", "inlet_ratio_kind", "needs_no_inlets"),
        ),
    )
    sentences = {
        "smoke_zone_number_unique_per_building": (
            "number",
            "This building has a zone {value} already. Choose another number.",
        ),
        "smoke_zone_number_from_one": ("number", "{value} is not possible: zones are numbered from 1."),
        "smoke_zone_required_area_has_a_kind": (
            "required_area_kind",
            "Say whether the required area is aerodynamic or geometric; the two are never compared.",
        ),
        "smoke_zone_floor_percent_possible": ("floor_percent", "{value} is not possible: at most 100 %."),
        "smoke_zone_inlet_ratio_has_a_kind": (
            "inlet_ratio_kind",
            "Say whether aerodynamic or geometric areas of inlets and outlets are compared.",
        ),
        "smoke_zone_inlets_asked_for_or_not": (
            "needs_no_inlets",
            "A ratio of inlets is entered. Empty it, or take this tick away.",
        ),
    }

    class Meta:
        model = SmokeZone
        fields = [
            "number",
            "name",
            "storey",
            "panel",
            "extent",
            "required_area_m2",
            "required_area_kind",
            "required_area_source",
            "area_method",
            *INPUT_QUANTITIES,
            "inlet_ratio",
            "inlet_ratio_kind",
            "needs_no_inlets",
            "needs_automatic_detection",
            "fault_lamp",
            "lockout_group",
        ]
        help_texts = {
            "extent": "What belongs to it, in words.",
            "required_area_m2": "As the fire strategy asks. Empty if not known.",
            "required_area_source": "Document, edition, clause.",
            "heat_release_kw": "The whole; smoke carries a share of it by common practice.",
            "clear_height_m": "From the floor of the fire to the smoke.",
            "inlet_ratio": "Such as 1.5. Empty: as the method says, else not known.",
        }
        labels = {"area_method": "Method", "inlet_ratio": "Inlets ÷ outlets", "inlet_ratio_kind": "Areas compared"}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        panels = ControlPanel.objects.filter(building=self.instance.building_id).select_related("position")
        self.fields["panel"].queryset = panels
        for name in INPUT_QUANTITIES:
            shown_for(self, (name,), "area_method", [key for key, method in METHODS.items() if name in method.needs])

    @property
    def method_notes(self):
        """(key, where it applies and its source) of each method; the page shows that of the one chosen."""
        return [(key, f"{method.applies} Source: {method.source.in_full}.") for key, method in METHODS.items()]


LEAF_AND_LOADS = (
    "leaf_mass_kg",
    "installed_deg",
    "hinge_at",
    "opens_inwards",
    "bracket_from_hinge_mm",
    "bracket_depth_mm",
    *LOADS,
)

LOUVRE = ("blades", "blade_pitch_mm", "blade_thickness_mm", "blade_angle_deg")

HINGE_OF = {
    Vent.Leaf.TOP_HUNG: (Vent.Hinge.UPPER, "its upper edge"),
    Vent.Leaf.BOTTOM_HUNG: (Vent.Hinge.LOWER, "its lower edge"),
    Vent.Leaf.SIDE_HUNG: (Vent.Hinge.SIDE, "an upright edge"),
}


class VentForm(GroupedForm):
    fixed_fields = ("smoke_zone",)
    more_than_zero_fields = ("width_mm", "height_mm", "fixing_distance_mm", "blade_pitch_mm")
    from_zero_fields = ("installed_deg",)
    any_sign_fields = ("cold_class_c",)
    first_heading = "Opening"
    field_groups = (
        ("Louvre", "", LOUVRE),
        (
            "Area as declared or tested",
            "",
            (
                "geometric_area_m2",
                "aerodynamic_area_m2",
                "discharge_coefficient",
                "coefficient_is_tested",
                "tested_angle_deg",
                "declaration_reference",
            ),
        ),
        (
            "Leaf and loads",
            "For the force of its actuators. Loads as the structural engineer or fire strategy states them; 0 means "
            "none. A leaf without its actuator can fall or slam: prop it before any work.",
            LEAF_AND_LOADS,
        ),
        (
            "Classes of its declaration",
            "EN 12101-2: WL 1500 is typed as 1500, T(-15) as -15, T(00) as 0. Empty: not declared.",
            CLASSES,
        ),
    )
    sentences = {
        "vent_smoke_outlet_opened_by_an_actuator": (
            "opened_by",
            "A smoke outlet is opened by an actuator. Choose that, or make it an inlet.",
        ),
        "vent_tag_unique_per_zone": ("tag", "This zone has a vent '{value}' already. Choose another tag."),
        "vent_blades_possible": ("blades", "{value} is not possible: a louvre has 1 to 200 blades."),
        "vent_blade_angle_possible": (
            "blade_angle_deg",
            "{value} is not possible: open blades stand at more than 0 and at most 90 degrees.",
        ),
        "vent_tested_angle_possible": (
            "tested_angle_deg",
            "{value} is not possible: a vent opens by more than 0 and at most 180 degrees.",
        ),
    }

    class Meta:
        model = Vent
        fields = [
            "tag",
            "purpose",
            "opened_by",
            "leaf",
            "width_mm",
            "height_mm",
            "fixing_distance_mm",
            "reveal_mm",
            "sides_blocked",
            *LOUVRE,
            "geometric_area_m2",
            "aerodynamic_area_m2",
            "discharge_coefficient",
            "coefficient_is_tested",
            "tested_angle_deg",
            "declaration_reference",
            *LEAF_AND_LOADS,
            *CLASSES,
        ]
        help_texts = {
            "purpose": "An inlet never counts as a smoke outlet.",
            "opened_by": "Without an actuator it counts by its declared area alone.",
            "reveal_mm": "How deep the leaf lies in the wall or kerb; 0 for none, empty if not known.",
            "sides_blocked": "Not known: only the gap in front counts.",
            "leaf_mass_kg": "Frame of the leaf, glass and fittings.",
            "installed_deg": "Of the closed leaf: 0 on a flat roof, 90 in a facade.",
            "hinge_at": "Empty: as the kind of leaf says, else the worst of all.",
            "bracket_from_hinge_mm": "Along the closed leaf. A chain at the moving edge: as its fixing.",
            "bracket_depth_mm": "Square to the closed leaf; 0 for a chain that comes out of the frame.",
            **dict.fromkeys(LOADS, "Empty: as the design basis states it."),
            "geometric_area_m2": "As declared; empty: computed from leaf, frame and stroke.",
            "aerodynamic_area_m2": "From the declaration of performance (EN 12101-2:2017), never computed here.",
            "discharge_coefficient": "The frame times this is aerodynamic, at the angle of the test. A verdict needs "
            "a test.",
            "tested_angle_deg": "The opening angle for which they hold; opened less far, there is no verdict.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        for name in ("purpose", "opened_by"):
            self.fields[name].required = False  # left out: as it is, and a new vent is a smoke outlet
        shown_for(self, ("opened_by",), "purpose", [Vent.Purpose.INLET])
        shown_for(self, LOUVRE, "leaf", [Vent.Leaf.LOUVRE])
        basis = getattr(self.instance.smoke_zone.building, "design_basis", None)
        show_where_empty(self, {name: getattr(basis, name, None) for name in LOADS})

    def clean(self):
        cleaned = super().clean()
        leaf, hinge = cleaned.get("leaf"), cleaned.get("hinge_at")
        turns_at, edge = HINGE_OF.get(leaf, (hinge, ""))
        if hinge and hinge != turns_at:
            kind = Vent.Leaf(leaf).label
            self.add_error(
                "hinge_at", f"A {kind} leaf turns about {edge}. Leave it empty, or correct the kind of leaf."
            )
        return cleaned


class VentGroupForm(ZonesModelForm):
    fixed_fields = ("smoke_zone",)
    sentences = {
        "vent_group_number_unique_per_zone": ("number", "This zone has a group {value} already. Choose another."),
    }

    class Meta:
        model = VentGroup
        fields = ["number", "name"]
