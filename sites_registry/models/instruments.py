"""Instruments of the firm: what each measures and until when its calibration holds."""

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Upper
from django.urls import reverse

from sites_registry.access import STAFF_ROLES
from sites_registry.history import kept_history
from sites_registry.models.versioned import Versioned

# Unit of a reading → field that says up to which value an instrument measures it. A time is read with the stop-watch of
# the phone, an age or a share is reckoned: they ask for no instrument (common practice).
RANGES = {
    "V": "voltage_to_v",
    "A": "current_to_a",
    "kΩ": "resistance_to_kohm",
    "MΩ": "insulation_to_mohm",
}


class StaffQuerySet(models.QuerySet):
    def visible_to(self, user):
        """The firm's people see all, others nothing."""
        return self.all() if user.is_authenticated and user.role in STAFF_ROLES else self.none()


class InstrumentQuerySet(StaffQuerySet):
    def in_use(self):
        """Instruments that are still used."""
        return self.filter(retired_on=None)


def _range(quantity, unit):
    return models.DecimalField(
        f"measures {quantity} up to ({unit})", max_digits=12, decimal_places=3, null=True, blank=True
    )


class Instrument(Versioned):
    """One instrument, told from the others by the firm's own number."""

    name = models.CharField("what it is", max_length=80, help_text="Multimeter, insulation tester, clamp meter …")
    own_number = models.CharField("own number", max_length=20, help_text="As on the firm's label.")
    serial = models.CharField(max_length=60, blank=True)
    voltage_to_v = _range("voltage", "V")
    current_to_a = _range("current", "A")
    resistance_to_kohm = _range("resistance", "kΩ")
    insulation_to_mohm = _range("insulation", "MΩ")
    calibrated_on = models.DateField(null=True, blank=True)
    calibration_due_on = models.DateField("calibration due on", null=True, blank=True)
    notes = models.CharField(max_length=400, blank=True)
    retired_on = models.DateField("no longer used since", null=True, blank=True)

    objects = InstrumentQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["own_number"]
        constraints = [
            models.UniqueConstraint(
                Upper("own_number"),
                name="instrument_own_number_unique",
                violation_error_message="An instrument has this number already.",
            ),
            models.CheckConstraint(
                condition=Q(calibrated_on=None)
                | Q(calibration_due_on=None)
                | Q(calibration_due_on__gt=F("calibrated_on")),
                name="instrument_due_after_its_calibration",
                violation_error_message="The calibration is due after the day on which it was made.",
            ),
            *(
                models.CheckConstraint(
                    condition=Q(**{field: None}) | Q(**{f"{field}__gt": 0}),
                    name=f"instrument_{field}_positive",
                    violation_error_message="A range ends above 0.",
                )
                for field in RANGES.values()
            ),
        ]

    def __str__(self):
        return f"{self.name} {self.own_number}"

    def get_absolute_url(self):
        return reverse("instrument-detail", args=[self.pk])

    @property
    def ranges(self):
        """[(unit, up to), …] of what it measures."""
        found = [(unit, getattr(self, field)) for unit, field in RANGES.items()]
        return [(unit, up_to) for unit, up_to in found if up_to is not None]
