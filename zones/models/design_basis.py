"""What the fire strategy of a building fixes for the design check, and the firm's own common practice."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models import Building
from sites_registry.models.versioned import Versioned
from zones.engineering import STANDBY_BASES
from zones.models.product_models import quantity
from zones.models.vent_loads import class_of, cold_class, load, load_constraints
from zones.models.visibility import BuildingBoundQuerySet, FirmQuerySet


class DesignBasis(Versioned):
    """The figures of a building that no data sheet gives. One row per building; without it they are not known.

    `standby_basis` is a key of engineering's STANDBY_BASES and carries its edition, so that a building keeps the
    rules under which it was designed.
    """

    building = models.OneToOneField(Building, models.PROTECT, related_name="design_basis")
    standby_basis = models.CharField("standby battery sized by", max_length=40, blank=True)
    standby_hours = quantity("standby in its place (h)", 5, 1)
    operations = models.PositiveSmallIntegerField("operations after standby", null=True, blank=True)
    opening_limit_s = models.PositiveSmallIntegerField("open within (s)", null=True, blank=True)
    fire_minutes = models.PositiveSmallIntegerField("cables carry in the fire for (min)", null=True, blank=True)
    wind_opening_pa = load("wind against opening (N/m²)")
    wind_suction_pa = load("wind suction on closed vents (N/m²)")
    snow_pa = load("snow (N/m²)")
    wind_class_pa = class_of("wind load class WL (N/m²)")
    snow_class_pa = class_of("snow load class SL (N/m²)")
    cold_class_c = cold_class("low temperature class T (°C)")
    reliability_class = class_of("reliability class Re (operations)")
    heat_class_c = class_of("heat exposure class B (°C)")
    source = models.CharField("stated in", max_length=200, blank=True)

    objects = BuildingBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        verbose_name_plural = "design bases"
        constraints = [
            *load_constraints("design_basis"),
            models.CheckConstraint(
                condition=Q(standby_hours=None) | Q(standby_hours__gt=0, standby_hours__lte=240),
                name="design_basis_standby_hours_possible",
                violation_error_message="Standby is more than 0 and at most 240 h; empty: as the basis says.",
            ),
            models.CheckConstraint(
                condition=Q(operations=None) | Q(operations__gte=1, operations__lte=1000),
                name="design_basis_operations_possible",
                violation_error_message="Operations after standby are from 1 to 1000; empty if nobody stated them.",
            ),
            models.CheckConstraint(
                condition=Q(opening_limit_s=None) | Q(opening_limit_s__gte=1, opening_limit_s__lte=3600),
                name="design_basis_opening_limit_possible",
                violation_error_message="The time to open is from 1 to 3600 s; empty: the firm's practice.",
            ),
            models.CheckConstraint(
                condition=Q(fire_minutes=None) | Q(fire_minutes__gte=1, fire_minutes__lte=240),
                name="design_basis_fire_minutes_possible",
                violation_error_message="Minutes in the fire are from 1 to 240; empty if nobody stated them.",
            ),
        ]

    def __str__(self):
        return f"Design basis of {self.building}"

    def get_absolute_url(self):
        return reverse("design-basis-update", args=[self.building.slug])

    def clean(self):
        if self.standby_basis and self.standby_basis not in STANDBY_BASES:
            raise ValidationError({"standby_basis": f"'{self.standby_basis}' is no basis that the register knows."})

    @property
    def basis(self):
        """The StandbyBasis, or None when none is chosen."""
        return STANDBY_BASES.get(self.standby_basis)


class PracticeValue(Versioned):
    """One figure of common practice that the firm has set for itself; no row: the default of engineering holds.

    `value` is kept as typed; `zones.design_basis.practice` reads it and checks it together with the others.
    """

    name = models.CharField(max_length=60, unique=True)
    value = models.CharField(max_length=300)

    objects = FirmQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["name"]

    def __str__(self):
        return self.name.replace("_", " ")

    def get_absolute_url(self):
        return reverse("practice-list")
