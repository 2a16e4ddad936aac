"""What joins two terminals of one owner without a cable: links, and end-of-line resistors."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import F, Q

from sites_registry.history import kept_history
from sites_registry.models.versioned import Versioned
from zones.models.product_models import quantity
from zones.models.terminals import Terminal
from zones.models.visibility import BuildingBoundQuerySet


class BetweenTerminalsQuerySet(BuildingBoundQuerySet):
    building_path = "first__building"


def check_one_owner(first, second):
    """Raise ValidationError at "second" where the two terminals are of different panels or devices."""
    if (first.panel_id, first.position_id) != (second.panel_id, second.position_id):
        raise ValidationError(
            {"second": f"{second} is a terminal of another device than {first}. Between two devices runs a cable."}
        )


class TerminalLink(Versioned):
    """A link between two terminals of one owner: fitted by hand, or made inside the device."""

    first = models.ForeignKey(Terminal, models.PROTECT, related_name="links_from")
    second = models.ForeignKey(Terminal, models.PROTECT, related_name="links_to")
    is_internal = models.BooleanField("made inside the device", default=False)

    objects = BetweenTerminalsQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["first", "second"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(first=F("second")),
                name="terminal_link_between_two_terminals",
                violation_error_message="A link joins two different terminals.",
            ),
            models.UniqueConstraint(
                fields=["first", "second"],
                name="terminal_link_unique",
                condition=Q(first__isnull=False),
                violation_error_message="These two terminals are linked already.",
            ),
        ]

    def __str__(self):
        return f"{self.first} to {self.second}"

    def save(self, *args, **kwargs):
        self._put_in_order()
        super().save(*args, **kwargs)

    def get_absolute_url(self):
        return self.first.get_absolute_url()

    def clean(self):
        if self.first_id and self.second_id:
            check_one_owner(self.first, self.second)
            self._put_in_order()

    def _put_in_order(self):
        """One order for a pair, so that the database can keep it unique."""
        if self.first_id > self.second_id:
            self.first, self.second = self.second, self.first


class EndOfLinePart(Versioned):
    """An end-of-line resistor across two terminals of one device, or of the panel on an unused line."""

    class Kind(models.TextChoices):
        RESISTOR = "resistor", "resistor"
        MODULE = "module", "module"

    first = models.ForeignKey(Terminal, models.PROTECT, related_name="end_of_line_parts_from")
    second = models.ForeignKey(Terminal, models.PROTECT, related_name="end_of_line_parts_to")
    kind = models.CharField(max_length=8, choices=Kind, default=Kind.RESISTOR)
    value_ohm = quantity("value (Ω)", 9, 1)
    tolerance_percent = quantity("tolerance (%)", 4, 1)

    objects = BetweenTerminalsQuerySet.as_manager()
    history = kept_history()

    class Meta:
        verbose_name = "end-of-line resistor or module"
        ordering = ["first", "second", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(first=F("second")),
                name="end_of_line_part_between_two_terminals",
                violation_error_message="An end-of-line resistor or module is across two different terminals.",
            ),
            models.CheckConstraint(
                condition=Q(value_ohm=None) | Q(value_ohm__gt=0),
                name="end_of_line_part_value_above_zero",
                violation_error_message="Value: leave it empty if not known, else more than 0 Ω.",
            ),
            models.CheckConstraint(
                condition=Q(tolerance_percent=None) | Q(tolerance_percent__gte=0, tolerance_percent__lte=50),
                name="end_of_line_part_tolerance_possible",
                violation_error_message="Tolerance: leave it empty if not known, else 0 to 50 percent.",
            ),
        ]

    def __str__(self):
        return f"end-of-line resistor or module across {self.first} and {self.second}"

    def get_absolute_url(self):
        return self.first.get_absolute_url()

    def clean(self):
        if self.first_id and self.second_id:
            check_one_owner(self.first, self.second)
