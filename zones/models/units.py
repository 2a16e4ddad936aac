"""Units and fittings: the physical things with a serial label, and where each was from when to when."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Count, F, OuterRef, Q, Subquery
from django.db.models.functions import Upper
from django.urls import reverse

from sites_registry.access import STAFF_ROLES, Role
from sites_registry.folded import Folded
from sites_registry.history import kept_history
from sites_registry.models import Building, Person
from sites_registry.models.versioned import Versioned
from zones.models.kinds import with_article
from zones.models.product_models import Maker, ProductModel
from zones.models.visibility import BuildingBoundQuerySet


class UnitQuerySet(models.QuerySet):
    def visible_to(self, user):
        """The firm sees all units; a manager those that are or were fitted in own buildings."""
        if not user.is_authenticated:
            return self.none()
        if user.role in STAFF_ROLES:
            return self.all()
        if user.role == Role.MANAGER:
            buildings = Building.objects.visible_to(user)
            return self.filter(pk__in=Fitting.objects.filter(position__building__in=buildings).values("unit"))
        return self.none()

    def in_store(self):
        """Units that are fitted nowhere now."""
        return self.exclude(pk__in=Fitting.objects.open().values("unit"))

    def with_model(self):
        return self.select_related("product_model__maker")

    def with_place(self):
        """Units with where they are fitted now (`fitted_tag`, `fitted_position`, `fitted_building`, `fitted_slug`,
        `fitted_since`; None in store); one query for any number. For the firm: it names any building."""
        fitted = Fitting.objects.open().filter(unit=OuterRef("pk"))
        return self.annotate(
            fitted_tag=Subquery(fitted.values("position__tag")[:1]),
            fitted_position=Subquery(fitted.values("position")[:1]),
            fitted_building=Subquery(fitted.values("position__building__name")[:1]),
            fitted_slug=Subquery(fitted.values("position__building__slug")[:1]),
            fitted_since=Subquery(fitted.values("fitted_on")[:1]),
        )


class Unit(Versioned):
    """The physical thing with a serial label. It can be moved, returned, recalled."""

    product_model = models.ForeignKey(ProductModel, models.PROTECT, related_name="units")
    # The model's maker again, so that the database can keep serials unique per maker.
    maker = models.ForeignKey(Maker, models.PROTECT, related_name="units", editable=False)
    serial = models.CharField(max_length=60, help_text="As on the label.")
    batch = models.CharField("batch or date code", max_length=40, blank=True)
    firmware = models.CharField(max_length=40, blank=True)
    notes = models.TextField(max_length=2000, blank=True)

    objects = UnitQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["product_model", "serial"]
        constraints = [
            models.UniqueConstraint(
                "maker",
                Upper("serial"),
                name="unit_serial_unique_per_maker",
                violation_error_message="This maker's serial is in the register already.",
            ),
            models.CheckConstraint(
                condition=~Q(serial=""), name="unit_has_a_serial", violation_error_message="A unit needs its serial."
            ),
        ]
        indexes = [
            models.Index(Upper("serial"), name="unit_serial_upper"),
            models.Index(Upper("batch"), name="unit_batch_upper"),
            models.Index(Folded("serial"), name="unit_serial_folded"),
            models.Index(Folded("batch"), name="unit_batch_folded"),
        ]

    def __str__(self):
        return self.serial

    def save(self, *args, **kwargs):
        self.maker_id = self.product_model.maker_id
        super().save(*args, **kwargs)

    def get_absolute_url(self):
        return reverse("unit-detail", args=[self.pk])

    def clean(self):
        if self.product_model_id:
            self.maker_id = self.product_model.maker_id


class FittingQuerySet(BuildingBoundQuerySet):
    building_path = "position__building"

    def open(self):
        """Fittings that stand now."""
        return self.filter(removed_on=None)

    def counted_by_building(self):
        """Rows `name`, `slug`, `client`, `number` of fittings, one per building, by name of building."""
        return (
            self.order_by()
            .values(
                name=F("position__building__name"),
                slug=F("position__building__slug"),
                client=F("position__building__client__name"),
            )
            .annotate(number=Count("pk"))
            .order_by("name")
        )


class Fitting(models.Model):
    """A unit at a position, from a date to a date."""

    position = models.ForeignKey("zones.Position", models.PROTECT, related_name="fittings")
    unit = models.ForeignKey(Unit, models.PROTECT, related_name="fittings")
    fitted_on = models.DateField()
    removed_on = models.DateField(null=True, blank=True)
    fitted_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    removed_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    reason_removed = models.CharField(max_length=200, blank=True)

    objects = FittingQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["-fitted_on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["position"],
                condition=Q(removed_on=None),
                name="fitting_one_open_per_position",
                violation_error_message="This position has a unit already. Take that unit off first.",
            ),
            models.UniqueConstraint(
                fields=["unit"],
                condition=Q(removed_on=None),
                name="fitting_one_open_per_unit",
                violation_error_message="This unit is fitted elsewhere already. Take it off there first.",
            ),
            models.CheckConstraint(
                condition=Q(removed_on=None) | Q(removed_on__gte=F("fitted_on")),
                name="fitting_ends_on_or_after_its_start",
                violation_error_message="The unit cannot come off before it was fitted.",
            ),
        ]

    def __str__(self):
        return f"{self.unit} at {self.position}"

    def clean(self):
        if self.position_id and self.unit_id and self.unit.product_model.kind != self.position.kind:
            raise ValidationError(
                f"{self.unit} is {with_article(self.unit.product_model.get_kind_display())}; "
                f"{self.position} needs {with_article(self.position.get_kind_display())}."
            )
