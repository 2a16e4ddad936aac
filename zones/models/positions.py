"""Positions: the places in a building that need a device. A position outlives its units."""

from django.db import models
from django.db.models import Exists, F, FilteredRelation, OuterRef, Prefetch, Q, Subquery
from django.urls import reverse

from sites_registry.folded import Folded
from sites_registry.history import kept_history
from sites_registry.models import Building
from sites_registry.models.versioned import Versioned
from zones.engineering.natural_order import natural_key
from zones.models.circuits import ActuatorCircuit, DetectionLine
from zones.models.kinds import WITHOUT_UNIT, choices_of_kinds, facts_of, label_of
from zones.models.panels import ControlPanel
from zones.models.ports import DataLink, InputDevice
from zones.models.product_models import ProductModel
from zones.models.smoke_zones import SmokeZone, Vent, VentGroup
from zones.models.visibility import BuildingBoundQuerySet


class PositionQuerySet(BuildingBoundQuerySet):
    def in_use(self):
        """Positions in use."""
        return self.filter(retired_on=None)

    def with_place_for_a_unit(self):
        """Positions that need a device with a serial; a junction box is only a place with terminals."""
        return self.exclude(kind__in=WITHOUT_UNIT)

    def hanging_on(self, panel):
        """Positions that hang on a panel: named by it, on a circuit, line or data link of it, or at its inputs."""
        at_inputs = InputDevice.objects.filter(input_port__panel=panel).values("position")
        named = Q(panel=panel) | Q(actuator_circuit__panel=panel) | Q(detection_line__panel=panel)
        return self.filter(named | Q(data_link__panel=panel) | Q(pk__in=at_inputs))

    def on_no_run(self):
        """Positions on no circuit, line or data link and at no input."""
        found = self.filter(actuator_circuit=None, detection_line=None, data_link=None)
        return found.filter(~Exists(InputDevice.objects.filter(position=OuterRef("pk"))))

    def without_unit(self):
        """Positions that have no unit fitted now; a junction box never has one."""
        from zones.models.units import Fitting

        # Not exclude(fittings__removed_on=None): the outer join also drops positions that never had a fitting.
        return self.with_place_for_a_unit().filter(~Exists(Fitting.objects.open().filter(position=OuterRef("pk"))))

    def with_open_fitting(self):
        """Positions with their present unit in `open_fittings` (a list of none or one), for pages that show it."""
        from zones.models.units import Fitting

        fittings = Fitting.objects.open().select_related("unit__product_model__maker")
        return self.prefetch_related(Prefetch("fittings", queryset=fittings, to_attr="open_fittings"))

    def with_serial(self):
        """Positions with `serial`, `model_name` and `maker_name` of the present unit; one query for any number."""
        from zones.models.units import Fitting

        fitted = Fitting.objects.open().filter(position=OuterRef("pk"))
        return self.annotate(
            serial=Subquery(fitted.values("unit__serial")[:1]),
            model_name=Subquery(fitted.values("unit__product_model__name")[:1]),
            maker_name=Subquery(fitted.values("unit__maker__name")[:1]),
        )

    def with_fitted_unit(self):
        """As `with_serial`, with `batch` and `fitted_on` too, by one join: for schedules of thousands of rows."""
        return self.annotate(
            # At most one row joins: the database keeps one open fitting per position.
            open_fitting=FilteredRelation("fittings", condition=Q(fittings__removed_on=None)),
            serial=F("open_fitting__unit__serial"),
            batch=F("open_fitting__unit__batch"),
            fitted_on=F("open_fitting__fitted_on"),
            model_name=F("open_fitting__unit__product_model__name"),
            maker_name=F("open_fitting__unit__maker__name"),
        )

    def with_wiring(self):
        return self.select_related(
            "smoke_zone",
            "vent_group__smoke_zone",
            "vent",
            "panel__position",
            "actuator_circuit__panel__position",
            "detection_line__panel__position",
            "data_link__panel__position",
            "product_model__maker",
        )

    def with_inputs(self):
        """Positions with the inputs that they are wired to in `at_inputs`; two queries for any number."""
        wired = InputDevice.objects.select_related("input_port__panel__position", "input_port__starts_at")
        wired = wired.order_by("input_port__number")
        return self.prefetch_related(Prefetch("wired_inputs", queryset=wired, to_attr="at_inputs"))

    def in_walking_order(self):
        return self.order_by("walking_order", "tag_key")


class Position(Versioned):
    """A place in the building that needs a device: tag, kind, zone, location."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="positions")
    tag = models.CharField(max_length=40)
    # Sorting is the engineer's: M2 before M10. Kept beside the tag so that the database can sort and page.
    tag_key = models.CharField(max_length=120, editable=False)
    kind = models.CharField(max_length=24, choices=choices_of_kinds)
    product_model = models.ForeignKey(
        ProductModel,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="positions",
        verbose_name="model planned",
    )
    storey = models.CharField(max_length=40, blank=True)
    room = models.CharField(max_length=80, blank=True)
    place = models.CharField(max_length=200, blank=True, help_text="In detail: above door 2.14, reached by 3 m steps.")
    access_need = models.CharField("access", max_length=120, blank=True, help_text="Ladder, tower, lift key …")
    walking_order = models.PositiveIntegerField(default=0)
    smoke_zone = models.ForeignKey(SmokeZone, models.PROTECT, null=True, blank=True, related_name="positions")
    vent_group = models.ForeignKey(VentGroup, models.PROTECT, null=True, blank=True, related_name="positions")
    vent = models.ForeignKey(Vent, models.PROTECT, null=True, blank=True, related_name="actuators")
    panel = models.ForeignKey(ControlPanel, models.PROTECT, null=True, blank=True, related_name="positions")
    actuator_circuit = models.ForeignKey(
        ActuatorCircuit, models.PROTECT, null=True, blank=True, related_name="positions"
    )
    detection_line = models.ForeignKey(DetectionLine, models.PROTECT, null=True, blank=True, related_name="positions")
    data_link = models.ForeignKey(DataLink, models.PROTECT, null=True, blank=True, related_name="positions")
    order_on_line = models.PositiveSmallIntegerField("order on its line or circuit", null=True, blank=True)
    retired_on = models.DateField("no longer used since", null=True, blank=True)

    objects = PositionQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["building", "tag_key"]
        constraints = [
            models.UniqueConstraint(
                "building",
                models.functions.Upper("tag"),
                name="position_tag_unique_per_building",
                violation_error_message="This building has a position with this tag already.",
            ),
            models.CheckConstraint(
                condition=~Q(tag=""), name="position_has_a_tag", violation_error_message="A position needs a tag."
            ),
            models.CheckConstraint(
                condition=Q(actuator_circuit=None) | Q(detection_line=None),
                name="position_on_a_circuit_or_a_line",
                violation_error_message="A position is on an actuator circuit or on a detection line, not on both.",
            ),
            models.CheckConstraint(
                condition=Q(data_link=None) | Q(actuator_circuit=None, detection_line=None),
                name="position_on_a_data_link_alone",
                violation_error_message="A position on a data link is on no circuit and on no detection line besides.",
            ),
        ]
        indexes = [
            models.Index(fields=["building", "walking_order", "tag_key"], name="position_walk"),
            models.Index(Folded("tag"), name="position_tag_folded"),
        ]

    def __str__(self):
        return self.tag

    def save(self, *args, **kwargs):
        self.tag_key = natural_key(self.tag)
        if self.data_link_id and not self.panel_id:
            self.panel_id = self.data_link.panel_id
        if (fields := kwargs.get("update_fields")) and "tag" in fields:
            kwargs["update_fields"] = {*fields, "tag_key"}
        super().save(*args, **kwargs)

    def get_absolute_url(self):
        return reverse("position-detail", args=[self.pk])

    def get_kind_display(self):
        return label_of(self.kind)

    @property
    def facts(self):
        """What the register knows of its kind of device."""
        return facts_of(self.kind)

    def clean(self):
        """Zone, group, vent, circuit, line and panel must be of this building, and agree with each other."""
        from zones.models.position_rules import check_position

        check_position(self)
