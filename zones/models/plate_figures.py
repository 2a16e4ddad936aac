"""Figures that somebody read off a data plate on site, beside what the register had of the model then."""

from django.db import models
from django.db.models import Case, Q, When
from django.utils import timezone

from sites_registry.models import Person
from zones.models.positions import Position
from zones.models.product_models import QUANTITIES, ProductModel
from zones.models.visibility import FirmQuerySet


class PlateFigureQuerySet(FirmQuerySet):
    def contradicting(self):
        """Figures that differ from what their model had and has still: somebody has to see which is right."""
        on_record = Case(
            *[When(name=name, then=models.F(f"product_model__{name}")) for name in QUANTITIES],
            output_field=models.DecimalField(max_digits=12, decimal_places=6),
        )
        found = self.exclude(product_model=None).exclude(value_on_record=None).alias(now=on_record)
        return found.exclude(value=models.F("value_on_record")).exclude(value=models.F("now")).filter(kept_at=None)


class PlateFigure(models.Model):
    """One figure as read. Never changed, the office only says of one that differs that the record is kept."""

    product_model = models.ForeignKey(
        ProductModel,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="plate_figures",
        help_text="Empty: no model is on record at the position.",
    )
    position = models.ForeignKey(Position, models.PROTECT, related_name="plate_figures")
    name = models.CharField(max_length=40, choices=[(name, name) for name in QUANTITIES])
    value = models.DecimalField(max_digits=12, decimal_places=6)
    value_on_record = models.DecimalField(
        max_digits=12, decimal_places=6, null=True, blank=True, help_text="Of the model, before it was read."
    )
    read_by = models.ForeignKey(Person, models.PROTECT, related_name="+")
    read_at = models.DateTimeField(default=timezone.now)
    kept_by = models.ForeignKey(
        Person, models.PROTECT, null=True, blank=True, related_name="+", help_text="Who kept the record against it."
    )
    kept_at = models.DateTimeField(null=True, blank=True)
    kept_reason = models.CharField(max_length=200, blank=True)

    objects = PlateFigureQuerySet.as_manager()

    class Meta:
        ordering = ["-read_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(value__gt=0),
                name="plate_figure_above_zero",
                violation_error_message="A figure of a data plate is more than 0.",
            ),
            models.CheckConstraint(
                condition=Q(name__in=QUANTITIES),
                name="plate_figure_of_a_data_sheet",
                violation_error_message="Choose a figure of a data sheet.",
            ),
            models.CheckConstraint(
                condition=Q(kept_at=None, kept_by=None, kept_reason="")
                | Q(kept_at__isnull=False, kept_by__isnull=False, value_on_record__isnull=False) & ~Q(kept_reason=""),
                name="plate_figure_record_kept_with_reason",
                violation_error_message="Say why the record is kept, and who keeps it.",
            ),
        ]

    def __str__(self):
        return f"{self.label} {self.value.normalize():f} {self.unit}"

    @property
    def label(self):
        return str(ProductModel._meta.get_field(self.name).verbose_name).partition(" (")[0]

    @property
    def unit(self):
        return str(ProductModel._meta.get_field(self.name).verbose_name).partition(" (")[2].rstrip(")")

    @property
    def is_contradiction(self):
        """Whether it differs from what the model had then and has still, and nobody has kept the record against it."""
        if self.kept_at is not None:
            return False
        return self.value_on_record is not None and self.value not in (self.value_on_record, self.on_record)

    @property
    def on_record(self):
        """What the model has now, or None."""
        return getattr(self.product_model, self.name, None)
