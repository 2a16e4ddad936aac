"""Smoke zones, their vents, and the groups in which actuators move for ventilation."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models import Building
from sites_registry.models.versioned import Versioned
from zones.engineering.area_methods import INPUT_QUANTITIES, METHODS
from zones.models.panels import ControlPanel
from zones.models.product_models import quantity
from zones.models.vent_loads import class_of, cold_class, load, load_constraints
from zones.models.visibility import BuildingBoundQuerySet


class AreaKind(models.TextChoices):
    AERODYNAMIC = "aerodynamic", "aerodynamic"
    GEOMETRIC = "geometric", "geometric"


def choices_of_methods():
    """Ways to a required area (zones.engineering.area_methods), by family."""
    families = {method.family: [] for method in METHODS.values()}
    for method in METHODS.values():
        families[method.family].append((method.key, method.name))
    return [(str(family).capitalize(), choices) for family, choices in families.items()]


class SmokeZone(Versioned):
    """The part of a building whose vents open together on smoke."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="smoke_zones")
    panel = models.ForeignKey(ControlPanel, models.PROTECT, null=True, blank=True, related_name="smoke_zones")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=120)
    storey = models.CharField(max_length=40, blank=True)
    extent = models.CharField(max_length=300, blank=True)
    required_area_m2 = quantity("required free area (m²)", 7, 2)
    required_area_kind = models.CharField("kind of area", max_length=12, choices=AreaKind, blank=True)
    required_area_source = models.CharField("source of the requirement", max_length=200, blank=True)
    area_method = models.CharField("method of the required area", max_length=32, choices=choices_of_methods, blank=True)
    floor_area_m2 = quantity("floor area (m²)", 9, 2)
    floor_percent = quantity("percentage of the floor (%)", 5, 2)
    fire_perimeter_m = quantity("perimeter of the fire (m)", 6, 2)
    heat_release_kw = quantity("heat release of the fire (kW)", 9, 1)
    clear_height_m = quantity("clear height below the smoke (m)", 6, 2)
    layer_depth_m = quantity("depth of the smoke below the vents (m)", 6, 2)
    inlet_ratio = quantity("replacement air, inlets ÷ outlets", 5, 2)
    inlet_ratio_kind = models.CharField("areas of inlets and outlets", max_length=12, choices=AreaKind, blank=True)
    needs_no_inlets = models.BooleanField("no replacement air asked for", default=False)
    needs_automatic_detection = models.BooleanField("automatic detection asked for", default=True)
    fault_lamp = models.CharField(
        "fault lamp", max_length=80, blank=True, help_text="The lamp at the panel that shows a fault of this zone."
    )
    lockout_group = models.CharField(
        "lock-out group",
        max_length=40,
        blank=True,
        help_text="Zones of one group: the first in alarm keeps the others shut.",
    )

    objects = BuildingBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["building", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "number"],
                name="smoke_zone_number_unique_per_building",
                violation_error_message="This building has a zone of this number already.",
            ),
            models.CheckConstraint(condition=Q(number__gte=1), name="smoke_zone_number_from_one"),
            models.CheckConstraint(
                condition=Q(required_area_m2=None) | Q(required_area_m2__gt=0),
                name="smoke_zone_required_area_above_zero",
                violation_error_message="Required area: leave it empty if not known, else more than 0 m².",
            ),
            models.CheckConstraint(
                condition=Q(required_area_m2=None) | ~Q(required_area_kind=""),
                name="smoke_zone_required_area_has_a_kind",
                violation_error_message="Say whether the required area is aerodynamic or geometric.",
            ),
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gt": 0}),
                    name=f"smoke_zone_{name}_above_zero",
                    violation_error_message="Figures of a method: leave them empty if not known, else more than 0.",
                )
                for name in (*INPUT_QUANTITIES, "inlet_ratio")
            ],
            models.CheckConstraint(
                condition=Q(floor_percent=None) | Q(floor_percent__lte=100),
                name="smoke_zone_floor_percent_possible",
                violation_error_message="A percentage of the floor is at most 100.",
            ),
            models.CheckConstraint(
                condition=Q(inlet_ratio=None) | ~Q(inlet_ratio_kind=""),
                name="smoke_zone_inlet_ratio_has_a_kind",
                violation_error_message="Say whether the ratio is of aerodynamic or of geometric areas.",
            ),
            models.CheckConstraint(
                condition=Q(inlet_ratio=None) | Q(needs_no_inlets=False),
                name="smoke_zone_inlets_asked_for_or_not",
                violation_error_message="A ratio of inlets, or no replacement air asked for: not both.",
            ),
        ]

    def __str__(self):
        return f"Zone {self.number} {self.name}"

    def get_absolute_url(self):
        return reverse("zone-detail", args=[self.building.slug, self.number])


class ZoneBoundQuerySet(BuildingBoundQuerySet):
    building_path = "smoke_zone__building"


class VentGroup(Versioned):
    """Actuators that move together for ventilation; belongs to one smoke zone."""

    smoke_zone = models.ForeignKey(SmokeZone, models.PROTECT, related_name="vent_groups")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=120, blank=True)

    objects = ZoneBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["smoke_zone", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["smoke_zone", "number"],
                name="vent_group_number_unique_per_zone",
                violation_error_message="This zone has a group of this number already.",
            )
        ]

    def __str__(self):
        return f"Z{self.smoke_zone.number}.{self.number}" + (f" {self.name}" if self.name else "")

    def get_absolute_url(self):
        return self.smoke_zone.get_absolute_url()


class Vent(Versioned):
    """The opening (NSHEV, EN 12101-2) with its leaf; has an aerodynamic free area."""

    class Leaf(models.TextChoices):
        TOP_HUNG = "top_hung", "top hung"
        BOTTOM_HUNG = "bottom_hung", "bottom hung"
        SIDE_HUNG = "side_hung", "side hung"
        DOUBLE_LEAF = "double_leaf", "double leaf"
        LOUVRE = "louvre", "louvre"
        SLIDING = "sliding", "sliding"
        DOME = "dome", "dome or roof flap"

    class Hinge(models.TextChoices):
        UPPER = "upper", "upper edge"
        LOWER = "lower", "lower edge"
        SIDE = "side", "an edge along the slope"

    class Purpose(models.TextChoices):
        OUTLET = "outlet", "smoke outlet"
        INLET = "inlet", "inlet for replacement air"

    class OpenedBy(models.TextChoices):
        ACTUATOR = "actuator", "actuator"
        HAND = "hand", "hand"
        DOOR = "door", "a door, by whoever uses it"
        FIXED = "fixed", "nothing: it is always open"

    smoke_zone = models.ForeignKey(SmokeZone, models.PROTECT, related_name="vents")
    tag = models.CharField(max_length=40)
    purpose = models.CharField(max_length=8, choices=Purpose, default=Purpose.OUTLET)
    opened_by = models.CharField("opened by", max_length=8, choices=OpenedBy, default=OpenedBy.ACTUATOR)
    leaf = models.CharField("kind of leaf", max_length=16, choices=Leaf, blank=True)
    width_mm = models.PositiveIntegerField("clear width (mm)", null=True, blank=True)
    height_mm = models.PositiveIntegerField("clear height (mm)", null=True, blank=True)
    fixing_distance_mm = models.PositiveIntegerField(
        "actuator fixing from hinge (mm)", null=True, blank=True, help_text="Empty: at the moving edge."
    )
    reveal_mm = models.PositiveIntegerField("depth of reveal (mm)", null=True, blank=True)
    sides_blocked = models.BooleanField("walls or neighbours close the sides", null=True, blank=True)
    blades = models.PositiveSmallIntegerField("blades of the louvre", null=True, blank=True)
    blade_pitch_mm = models.PositiveSmallIntegerField("pitch of the blades (mm)", null=True, blank=True)
    blade_thickness_mm = models.PositiveSmallIntegerField("thickness of a blade (mm)", null=True, blank=True)
    blade_angle_deg = quantity("angle of the open blades (°)", 4, 1)
    discharge_coefficient = quantity("discharge coefficient", 4, 3)
    coefficient_is_tested = models.BooleanField("the coefficient is from a test", default=False)
    tested_angle_deg = quantity("angle of test or declaration (°)", 4, 1)
    geometric_area_m2 = quantity("geometric free area (m²)", 7, 2)
    aerodynamic_area_m2 = quantity("declared aerodynamic free area (m²)", 7, 2)
    declaration_reference = models.CharField("declaration of performance", max_length=120, blank=True)
    leaf_mass_kg = quantity("weight of one leaf (kg)", 6, 1)
    installed_deg = quantity("angle of installation (°)", 4, 1)
    hinge_at = models.CharField("hinge at", max_length=8, choices=Hinge, blank=True)
    opens_inwards = models.BooleanField("opens inwards", default=False)
    bracket_from_hinge_mm = models.PositiveIntegerField("actuator on the frame from hinge (mm)", null=True, blank=True)
    bracket_depth_mm = models.PositiveIntegerField("actuator on the frame behind the leaf (mm)", null=True, blank=True)
    wind_opening_pa = load("wind against opening (N/m²)")
    wind_suction_pa = load("wind suction on the closed leaf (N/m²)")
    snow_pa = load("snow (N/m²)")
    wind_class_pa = class_of("wind load class WL (N/m²)")
    snow_class_pa = class_of("snow load class SL (N/m²)")
    cold_class_c = cold_class("low temperature class T (°C)")
    reliability_class = class_of("reliability class Re (operations)")
    heat_class_c = class_of("heat exposure class B (°C)")

    objects = ZoneBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["smoke_zone", "tag"]
        constraints = [
            models.UniqueConstraint(
                fields=["smoke_zone", "tag"],
                name="vent_tag_unique_per_zone",
                violation_error_message="This zone has a vent of this tag already.",
            ),
            models.CheckConstraint(
                condition=Q(purpose="inlet") | Q(opened_by="actuator"),
                name="vent_smoke_outlet_opened_by_an_actuator",
                violation_error_message="A smoke outlet is opened by an actuator; only an inlet by something else.",
            ),
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gt": 0}),
                    name=f"vent_{name}_above_zero",
                    violation_error_message="Sizes and areas: leave them empty if not known, else more than 0.",
                )
                for name in (
                    "width_mm",
                    "height_mm",
                    "fixing_distance_mm",
                    "geometric_area_m2",
                    "aerodynamic_area_m2",
                    "blade_pitch_mm",
                    "leaf_mass_kg",
                )
            ],
            *load_constraints("vent"),
            models.CheckConstraint(
                condition=Q(installed_deg=None) | Q(installed_deg__gte=0, installed_deg__lte=90),
                name="vent_installed_deg_possible",
                violation_error_message="The angle of installation is 0 (flat roof) to 90 degrees (facade).",
            ),
            models.CheckConstraint(
                condition=Q(blades=None) | Q(blades__gte=1, blades__lte=200),
                name="vent_blades_possible",
                violation_error_message="A louvre has 1 to 200 blades.",
            ),
            models.CheckConstraint(
                condition=Q(blade_angle_deg=None) | Q(blade_angle_deg__gt=0, blade_angle_deg__lte=90),
                name="vent_blade_angle_possible",
                violation_error_message="The angle of open blades is more than 0 and at most 90 degrees.",
            ),
            models.CheckConstraint(
                condition=Q(tested_angle_deg=None) | Q(tested_angle_deg__gt=0, tested_angle_deg__lte=180),
                name="vent_tested_angle_possible",
                violation_error_message="The angle of a test or declaration is more than 0 and at most 180 degrees.",
            ),
            models.CheckConstraint(
                condition=Q(discharge_coefficient=None) | Q(discharge_coefficient__gt=0, discharge_coefficient__lte=1),
                name="vent_discharge_coefficient_possible",
                violation_error_message="A discharge coefficient is more than 0 and at most 1.",
            ),
        ]

    def __str__(self):
        return self.tag

    @property
    def is_inlet(self):
        """Whether it lets replacement air in: then it is no smoke outlet and never counts as one."""
        return self.purpose == self.Purpose.INLET

    def get_absolute_url(self):
        return self.smoke_zone.get_absolute_url()
