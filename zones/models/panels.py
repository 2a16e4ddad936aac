"""Control panels with their battery sets and settings."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Count, F, Q
from django.db.models.functions import Lower
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models import Building, Person
from sites_registry.models.versioned import Versioned
from zones.engineering.access_codes import faults_of_setting
from zones.models.declared import DeclaredComplete
from zones.models.product_models import ProductModel, quantity
from zones.models.visibility import BuildingBoundQuerySet

PANEL_FIGURES_FROM_ZERO = ("alarm_current_a", "own_voltage_drop_v", "gap_s", "stagger_s")


class ControlPanel(Versioned, DeclaredComplete):
    """The control equipment with its power supply (ISO 21927-9, EN 12101-10).

    Its place, unit and test points are those of its position, made together with it by `services.panels.add_panel`.
    Temperatures and fuse of the battery stand here: they outlive a battery set.
    """

    class Operation(models.TextChoices):
        SIMULTANEOUS = "simultaneous", "all at once"
        SEQUENTIAL = "sequential", "one group after another"

    class AfterReset(models.TextChoices):
        STAY = "stay", "stay open until told to close"
        CLOSE = "close", "close"

    building = models.ForeignKey(Building, models.PROTECT, related_name="panels")
    position = models.OneToOneField("zones.Position", models.PROTECT, related_name="control_panel")
    supply_limit_a = quantity("supply limit (A)", help_text="Only if it differs from the product model's.")
    quiescent_current_a = quantity(
        "quiescent current (A)",
        7,
        4,
        help_text="With all its devices, measured if possible. Empty: the model's, and those of its devices added.",
    )
    alarm_current_a = quantity("current in alarm (A)", 7, 4, help_text="Motors not counted. Empty: the model's.")
    own_voltage_drop_v = quantity("drop inside the panel (V)", 5, 2, help_text="Empty: the model's.")
    charger_current_a = quantity("charger current (A)", 6, 3, help_text="Empty: the model's.")
    charger_inhibited = models.BooleanField(
        "charger stops while motors run", null=True, blank=True, help_text="Unknown: as the model says."
    )
    operation = models.CharField("outputs open", max_length=12, choices=Operation, default=Operation.SIMULTANEOUS)
    gap_s = quantity("gap between groups (s)", 5, 1, help_text="Only one group after another. Empty: none.")
    stagger_s = quantity("stagger between starts (s)", 5, 2, help_text="Empty: all start at once.")
    battery_fuse_a = quantity("fuse of the battery (A)", help_text="Empty: the model's.")
    battery_coldest_c = models.DecimalField(
        "coldest temperature at the battery (°C)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    battery_usual_c = models.DecimalField(
        "usual temperature at the battery (°C)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    after_reset = models.CharField("vents after a reset", max_length=8, choices=AfterReset, default=AfterReset.STAY)
    settings_revision = models.CharField(max_length=40, blank=True)
    mains_feed = models.CharField(max_length=200, blank=True, help_text="Board, circuit, protective device.")
    earth = models.CharField(max_length=120, blank=True)
    mains_guard = models.BooleanField("guard over the mains terminals", null=True, blank=True)
    access_code_changed = models.BooleanField("default access code changed", default=False)

    objects = BuildingBoundQuerySet.as_manager()
    history = kept_history()

    class Meta(DeclaredComplete.Meta):
        abstract = False
        ordering = ["building", "position__tag"]
        constraints = [
            *DeclaredComplete.Meta.constraints,
            models.CheckConstraint(
                condition=Q(supply_limit_a=None) | Q(supply_limit_a__gt=0),
                name="panel_supply_limit_above_zero",
                violation_error_message="Supply limit: leave it empty if not known, else more than 0 A.",
            ),
            models.CheckConstraint(
                condition=Q(quiescent_current_a=None) | Q(quiescent_current_a__gt=0),
                name="panel_quiescent_current_above_zero",
                violation_error_message="Quiescent current: leave it empty if not known, else more than 0 A.",
            ),
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gte": 0}),
                    name=f"panel_{name}_from_zero",
                    violation_error_message="Current in alarm, drop and times: leave them empty if not known, "
                    "else 0 or more.",
                )
                for name in PANEL_FIGURES_FROM_ZERO
            ],
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gt": 0}),
                    name=f"panel_{name}_above_zero",
                    violation_error_message="Charger and fuse: leave them empty if not known, else more than 0 A.",
                )
                for name in ("charger_current_a", "battery_fuse_a")
            ],
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gte": -60, f"{name}__lte": 80}),
                    name=f"panel_{name}_possible",
                    violation_error_message="Temperatures at the battery are from -60 to 80 °C.",
                )
                for name in ("battery_coldest_c", "battery_usual_c")
            ],
            models.CheckConstraint(
                condition=Q(battery_coldest_c=None)
                | Q(battery_usual_c=None)
                | Q(battery_coldest_c__lte=F("battery_usual_c")),
                name="panel_battery_coldest_below_usual",
                violation_error_message="The coldest temperature at the battery cannot be above the usual one.",
            ),
        ]

    def __str__(self):
        return self.tag

    def get_absolute_url(self):
        return reverse("panel-detail", args=[self.pk])

    def get_files_url(self):
        """The page on which its files stand."""
        return reverse("panel-record", args=[self.pk])

    @property
    def tag(self):
        return self.position.tag


class PanelBoundQuerySet(BuildingBoundQuerySet):
    building_path = "panel__building"


class BatterySetQuerySet(PanelBoundQuerySet):
    def fitted(self):
        """Battery sets that are in a panel now."""
        return self.filter(removed_on=None)

    def of_batch(self, code):
        """Battery sets with this batch or date code, in whatever case it is typed."""
        return self.filter(Q(batch__iexact=code) | Q(date_code__iexact=code))

    def counted_by_building(self):
        """Rows `name`, `slug`, `number` of battery sets, one per building, by name of building."""
        named = self.order_by().values(name=F("panel__building__name"), slug=F("panel__building__slug"))
        return named.annotate(number=Count("pk")).order_by("name")


class BatterySet(Versioned):
    """The standby battery of a panel: blocks of one age and type, changed together."""

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="battery_sets")
    product_model = models.ForeignKey(
        ProductModel,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="battery_sets",
        limit_choices_to={"kind": "battery"},
    )
    blocks = models.PositiveSmallIntegerField("number of blocks", default=2)
    capacity_ah = quantity("capacity of a block (Ah)")
    date_code = models.CharField(max_length=40, blank=True, help_text="As printed on the block.")
    batch = models.CharField(max_length=40, blank=True, help_text="As printed on the block, if it has one.")
    made_on = models.DateField("made on", null=True, blank=True, help_text="Where the date code can be read two ways.")
    discharge_limit_a = quantity("greatest discharge current (A)", help_text="Empty: as the model's data sheet says.")
    design_life_years = quantity("design life (years)", 4, 1, help_text="At 20 °C. Empty: the model's service life.")
    fitted_on = models.DateField()
    removed_on = models.DateField(null=True, blank=True)

    objects = BatterySetQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["-fitted_on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["panel"],
                condition=Q(removed_on=None),
                name="battery_set_one_fitted_per_panel",
                violation_error_message="This panel has a battery set already. Enter when that one came out first.",
            ),
            models.CheckConstraint(
                condition=Q(removed_on=None) | Q(removed_on__gte=F("fitted_on")),
                name="battery_set_ends_on_or_after_its_start",
                violation_error_message="The battery set cannot come out before it was fitted.",
            ),
            models.CheckConstraint(
                condition=Q(blocks__gte=1) & Q(blocks__lte=48),
                name="battery_set_has_blocks",
                violation_error_message="The number of blocks is from 1 to 48.",
            ),
            models.CheckConstraint(
                condition=Q(capacity_ah=None) | Q(capacity_ah__gt=0),
                name="battery_set_capacity_above_zero",
                violation_error_message="Capacity: leave it empty if not known, else more than 0 Ah.",
            ),
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gt": 0}),
                    name=f"battery_set_{name}_above_zero",
                    violation_error_message="Discharge current and life: leave them empty if not known, "
                    "else more than 0.",
                )
                for name in ("discharge_limit_a", "design_life_years")
            ],
        ]

    def __str__(self):
        return f"{self.blocks} × {self.capacity_ah or '?'} Ah"

    def get_absolute_url(self):
        return self.panel.get_absolute_url()


class PanelSetting(Versioned):
    """One setting of a panel as left. Never an access code."""

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="settings")
    name = models.CharField(max_length=120)
    value = models.CharField(max_length=120)
    unit = models.CharField(max_length=20, blank=True)
    allowed_range = models.CharField(max_length=80, blank=True)
    set_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    set_on = models.DateField(null=True, blank=True)

    objects = PanelBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                "panel",
                Lower("name"),
                name="panel_setting_unique_per_panel",
                violation_error_message="This panel has a setting of this name already.",
            )
        ]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return self.panel.get_absolute_url()

    def clean(self):
        if faults := faults_of_setting(self.name, self.value, self.unit):
            raise ValidationError(faults)
