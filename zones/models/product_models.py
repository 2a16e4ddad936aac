"""Makers and product models: the figures that the design check needs, each optional, each shown when missing."""

from django.db import models
from django.db.models import Count, OuterRef, Q, Subquery
from django.db.models.functions import Coalesce, Lower
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models import Person
from sites_registry.models.versioned import Versioned
from zones.engineering.fuses import DEVICE_KINDS, FUSE_KINDS
from zones.models.kinds import DeviceKind, Drive, choices_of_kinds, facts_of, kinds_where, label_of
from zones.models.visibility import FirmQuerySet


class Maker(models.Model):
    """Who makes a product model; serials are unique per maker."""

    name = models.CharField(max_length=80)

    objects = FirmQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                Lower("name"), name="maker_name_unique", violation_error_message="This maker exists already."
            )
        ]

    def __str__(self):
        return self.name


class ProductModelQuerySet(FirmQuerySet):
    def proposed(self):
        """Models proposed on site that the office has not confirmed yet."""
        return self.filter(proposed_by__isnull=False, confirmed_by=None)

    def with_maker(self):
        return self.select_related("maker")

    def with_unit_count(self):
        """Models with `unit_count`, the units that the register knows; one query for any number."""
        units = self.model._meta.get_field("units").related_model
        counted = units.objects.filter(product_model=OuterRef("pk")).order_by().values("product_model")
        return self.annotate(unit_count=Coalesce(Subquery(counted.annotate(number=Count("pk")).values("number")), 0))

    def with_figures_missing(self):
        """Models that lack a figure which a check of their kind needs."""
        return self.filter(_figures_missing())

    def with_differing_figures(self):
        """Models of which a data plate on site says something else than the register."""
        plates = self.model._meta.get_field("plate_figures").related_model
        return self.filter(pk__in=plates.objects.contradicting().values("product_model"))

    def with_all_figures(self):
        return self.exclude(_figures_missing())


def quantity(label, digits=7, places=2, **options):
    """An optional quantity of a data sheet; empty means not known, never zero."""
    return models.DecimalField(label, max_digits=digits, decimal_places=places, null=True, blank=True, **options)


# Limits between the states of a panel's monitored lines, in the names of engineering's TradePractice.
RANGE_FIGURES = (
    "short_below_ohm",
    "alarm_low_ohm",
    "alarm_high_ohm",
    "normal_low_ohm",
    "normal_high_ohm",
    "open_above_ohm",
)

QUANTITIES = (
    "rated_voltage_v",
    "minimum_voltage_v",
    "rated_current_a",
    "starting_current_a",
    "standby_current_a",
    "alarm_current_a",
    "stroke_mm",
    "speed_mm_s",
    "supply_limit_a",
    "output_limit_a",
    "capacity_ah",
    "end_of_line_ohm",
    "alarm_resistance_ohm",
    "service_life_years",
    "own_voltage_drop_v",
    "charger_current_a",
    "battery_fuse_a",
    "line_voltage_v",
    "discharge_limit_a",
    "peukert_exponent",
    "lower_voltage_v",
    "lower_speed_mm_s",
    "lower_current_a",
    "highest_voltage_v",
    "starting_s",
    "output_peak_a",
    "supply_peak_a",
    "output_highest_v",
    "charging_limit_a",
    "push_force_n",
    "pull_force_n",
    "lower_push_force_n",
    "lower_pull_force_n",
    "holding_force_n",
    "output_device_a",
    "output_trip_a",
    "output_trip_s",
    "supply_fault_a",
    "supply_fuse_a",
    "battery_lead_mm2",
    "battery_lead_m",
    "internal_resistance_mohm",
    *RANGE_FIGURES,
)
# A contact takes nothing at rest, a panel may lose nothing inside: these may be 0, which is not "not known".
MAY_BE_ZERO = ("standby_current_a", "own_voltage_drop_v")


def choices_of_fuses():
    """Kinds of fuse with a time-current characteristic (zones.engineering.fuses)."""
    return [(kind.key, kind.name) for kind in FUSE_KINDS.values()]


def choices_of_devices():
    """Kinds of protective device that an output may have."""
    return [(kind.key, kind.name) for kind in DEVICE_KINDS.values()]


def _figures_missing():
    condition = Q()
    for kind in kinds_where(lambda facts: facts.needed_figures):
        missing = Q()
        for name in kind.facts.needed_figures:
            missing |= Q(**{name: ""}) if name == "drive" else Q(**{name: None})
        condition |= Q(kind=kind) & missing
    return condition


class ProductModel(Versioned):
    """A model of device, with the figures of its data sheet."""

    class LoadKind(models.TextChoices):
        """How the current of an actuator answers to a lower voltage (zones.engineering.cables.LoadModel); empty: not
        known.
        """

        CONSTANT_CURRENT = "constant current", "constant current"
        CONSTANT_POWER = "constant power", "constant power (switching electronics)"
        RESISTIVE = "resistive", "resistive"

    class AlarmWiring(models.TextChoices):
        """How a device in alarm changes its line (zones.engineering.detection_lines.AlarmWiring)."""

        PARALLEL = "parallel", "switches its resistor across the line"
        SERIES = "series", "switches its resistor into the line"

    maker = models.ForeignKey(Maker, models.PROTECT, related_name="product_models")
    name = models.CharField("model", max_length=80)
    kind = models.CharField(max_length=24, choices=choices_of_kinds)
    rated_voltage_v = quantity("rated voltage (V)")
    minimum_voltage_v = quantity("least voltage it runs at (V)")
    rated_current_a = quantity("rated current (A)", 7, 3)
    starting_current_a = quantity("starting current (A)", 7, 3)
    standby_current_a = quantity("standby current (A)", 9, 6)
    alarm_current_a = quantity("current in alarm (A)", 7, 3)
    stroke_mm = quantity("stroke (mm)", 7, 1)
    speed_mm_s = quantity("speed (mm/s)", 6, 2)
    lower_voltage_v = quantity("lower voltage on its data sheet (V)", 5, 2)
    lower_speed_mm_s = quantity("speed at lower voltage (mm/s)", 6, 2)
    lower_current_a = quantity("current at lower voltage (A)", 7, 3)
    highest_voltage_v = quantity("greatest voltage allowed (V)", 5, 2)
    starting_s = quantity("starting current lasts (s)", 5, 2)
    push_force_n = quantity("push force (N)", 7, 1)
    pull_force_n = quantity("pull force (N)", 7, 1)
    lower_push_force_n = quantity("push force at lower voltage (N)", 7, 1)
    lower_pull_force_n = quantity("pull force at lower voltage (N)", 7, 1)
    holding_force_n = quantity("holding force when closed (N)", 7, 1)
    drive = models.CharField(max_length=12, choices=Drive, blank=True)
    supply_limit_a = quantity("supply limit (A)")
    output_limit_a = quantity("limit of one output (A)")
    capacity_ah = quantity("rated capacity (Ah)")
    end_of_line_ohm = quantity("end-of-line resistor (Ω)", 9, 1)
    alarm_resistance_ohm = quantity("alarm resistor (Ω)", 9, 1)
    alarm_wiring = models.CharField("in alarm", max_length=8, choices=AlarmWiring, default=AlarmWiring.PARALLEL)
    removal_opens_line = models.BooleanField("taking it out opens the line", null=True, blank=True)
    keeps_first_alarm = models.BooleanField("keeps the first alarm of a line", null=True, blank=True)
    load_kind = models.CharField("load", max_length=16, choices=LoadKind, blank=True, default="")
    own_voltage_drop_v = quantity("drop inside the panel (V)", 5, 2)
    charger_current_a = quantity("charger current (A)", 6, 3)
    charger_inhibited = models.BooleanField("charger stops while motors run", null=True, blank=True)
    battery_fuse_a = quantity("fuse of the battery (A)")
    battery_fuse_kind = models.CharField("kind of battery fuse", max_length=12, choices=choices_of_fuses, blank=True)
    output_peak_a = quantity("peak current of one output (A)")
    output_device_kind = models.CharField(
        "protective device of each output", max_length=12, choices=choices_of_devices, blank=True
    )
    output_device_a = quantity("rating of that device (A)")
    output_trip_a = quantity("output trips at (A)")
    output_trip_s = quantity("output trips within (s)", 6, 3)
    supply_fault_a = quantity("current of the supply into a short circuit (A)")
    supply_fuse_a = quantity("fuse between supply and outputs (A)")
    supply_fuse_kind = models.CharField(
        "kind of fuse between supply and outputs", max_length=12, choices=choices_of_fuses, blank=True
    )
    battery_lead_mm2 = quantity("area of the battery leads (mm²)", 6, 2)
    battery_lead_m = quantity("length of the battery leads, one way (m)", 5, 2)
    supply_peak_a = quantity("peak current of the supply (A)")
    output_highest_v = quantity("greatest voltage of its outputs (V)", 5, 2)
    line_voltage_v = quantity("voltage of its monitored lines (V)")
    short_below_ohm = quantity("short below (Ω)", 9, 1)
    alarm_low_ohm = quantity("alarm from (Ω)", 9, 1)
    alarm_high_ohm = quantity("alarm to (Ω)", 9, 1)
    normal_low_ohm = quantity("normal from (Ω)", 9, 1)
    normal_high_ohm = quantity("normal to (Ω)", 9, 1)
    open_above_ohm = quantity("open above (Ω)", 9, 1)
    discharge_limit_a = quantity("greatest discharge current (A)")
    charging_limit_a = quantity("greatest charging current (A)")
    internal_resistance_mohm = quantity("internal resistance of a block (mΩ)", 7, 2)
    peukert_exponent = quantity("discharge exponent (Peukert)", 4, 3)
    service_life_years = quantity("service life (years)", 4, 1)
    declaration_reference = models.CharField("declaration of performance", max_length=120, blank=True)
    is_current = models.BooleanField("still fitted to new work", default=True)
    notes = models.TextField(max_length=4000, blank=True)
    power_up_order = models.TextField(
        "power-up order by the maker", max_length=2000, blank=True, help_text="One step a line, in the maker's words."
    )
    isolation_order = models.TextField(
        "isolation order by the maker", max_length=2000, blank=True, help_text="One step a line, in the maker's words."
    )
    power_order_source = models.CharField(
        "source of these orders", max_length=200, blank=True, help_text="Document with number, edition and page."
    )
    wiring_pattern = models.TextField(max_length=8000, blank=True)
    # Proposed on site by an engineer; the office has not confirmed its figures and pattern yet.
    proposed_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, editable=False, related_name="+")
    confirmed_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, editable=False, related_name="+")

    objects = ProductModelQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["kind", "maker__name", "name"]
        constraints = [
            models.UniqueConstraint(
                "maker",
                Lower("name"),
                name="product_model_unique_per_maker",
                violation_error_message="This maker has a model of this name already.",
            ),
            models.CheckConstraint(
                condition=Q(power_up_order="", isolation_order="") | ~Q(power_order_source=""),
                name="product_model_power_order_has_a_source",
                violation_error_message="Name the source of the maker's order: document with number, edition and page.",
            ),
            models.CheckConstraint(
                condition=Q(kind=DeviceKind.CONTROL_PANEL) | Q(power_up_order="", isolation_order=""),
                name="product_model_power_order_of_a_panel",
                violation_error_message="Only a control panel has a power-up and an isolation order. Empty them.",
            ),
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gt": 0}),
                    name=f"product_model_{name}_above_zero",
                    violation_error_message=f"{name.rsplit('_', 1)[0].replace('_', ' ').capitalize()}: "
                    "leave it empty if not known, else more than 0.",
                )
                for name in QUANTITIES
                if name not in MAY_BE_ZERO
            ],
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gte": 0}),
                    name=f"product_model_{name}_from_zero",
                    violation_error_message=f"{name.rsplit('_', 1)[0].replace('_', ' ').capitalize()}: "
                    "leave it empty if not known, else 0 or more.",
                )
                for name in MAY_BE_ZERO
            ],
        ]

    def __str__(self):
        return f"{self.maker} {self.name}" + (" (proposed, not confirmed)" if self.is_proposal else "")

    def get_absolute_url(self):
        return reverse("product-model-detail", args=[self.pk])

    def get_kind_display(self):
        return label_of(self.kind)

    @property
    def is_proposal(self):
        """Proposed on site, and not confirmed by the office yet."""
        return self.proposed_by_id is not None and self.confirmed_by_id is None

    @property
    def maker_name(self):
        return self.maker.name

    def missing_figure_names(self):
        return [name for name in facts_of(self.kind).needed_figures if getattr(self, name) in (None, "")]

    def missing_figures(self):
        """Labels of the figures that a check would need and that are not known."""
        return [self._meta.get_field(name).verbose_name for name in self.missing_figure_names()]
