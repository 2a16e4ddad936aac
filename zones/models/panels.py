"""Control panels with their battery sets and settings."""

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models import Building, Person
from zones.models.product_models import ProductModel, quantity
from zones.models.visibility import BuildingBoundQuerySet


class ControlPanel(models.Model):
    """The control equipment with its power supply (ISO 21927-9, EN 12101-10).

    Its place, unit and test points are those of its position, made together with it by `services.panels.add_panel`.
    """

    building = models.ForeignKey(Building, models.PROTECT, related_name="panels")
    position = models.OneToOneField("zones.Position", models.PROTECT, related_name="control_panel")
    supply_limit_a = quantity("supply limit (A)", help_text="Only if it differs from the product model's.")
    quiescent_current_a = quantity("quiescent current (A)", 7, 4)
    settings_revision = models.CharField(max_length=40, blank=True)
    mains_feed = models.CharField(max_length=200, blank=True, help_text="Board, circuit, protective device.")
    earth = models.CharField(max_length=120, blank=True)
    access_code_changed = models.BooleanField("default access code changed", default=False)
    row_version = models.PositiveIntegerField(default=0, editable=False)

    objects = BuildingBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["building", "position__tag"]
        constraints = [
            models.CheckConstraint(
                condition=Q(supply_limit_a=None) | Q(supply_limit_a__gt=0), name="panel_supply_limit_above_zero",
                violation_error_message="Supply limit: leave it empty if not known, else more than 0 A.",
            ),
            models.CheckConstraint(
                condition=Q(quiescent_current_a=None) | Q(quiescent_current_a__gt=0),
                name="panel_quiescent_current_above_zero",
                violation_error_message="Quiescent current: leave it empty if not known, else more than 0 A.",
            ),
        ]  # fmt: skip

    def __str__(self):
        return self.tag

    def get_absolute_url(self):
        return reverse("panel-detail", args=[self.pk])

    @property
    def tag(self):
        return self.position.tag


class PanelBoundQuerySet(BuildingBoundQuerySet):
    building_path = "panel__building"


class BatterySetQuerySet(PanelBoundQuerySet):
    def fitted(self):
        """Battery sets that are in a panel now."""
        return self.filter(removed_on=None)


class BatterySet(models.Model):
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
    fitted_on = models.DateField()
    removed_on = models.DateField(null=True, blank=True)
    row_version = models.PositiveIntegerField(default=0, editable=False)

    objects = BatterySetQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["-fitted_on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["panel"], condition=Q(removed_on=None), name="battery_set_one_fitted_per_panel",
                violation_error_message="This panel has a battery set already. Enter when that one came out first.",
            ),
            models.CheckConstraint(
                condition=Q(removed_on=None) | Q(removed_on__gte=F("fitted_on")),
                name="battery_set_ends_on_or_after_its_start",
                violation_error_message="The battery set cannot come out before it was fitted.",
            ),
            models.CheckConstraint(
                condition=Q(blocks__gte=1) & Q(blocks__lte=48), name="battery_set_has_blocks",
                violation_error_message="The number of blocks is from 1 to 48.",
            ),
            models.CheckConstraint(
                condition=Q(capacity_ah=None) | Q(capacity_ah__gt=0), name="battery_set_capacity_above_zero",
                violation_error_message="Capacity: leave it empty if not known, else more than 0 Ah.",
            ),
        ]  # fmt: skip

    def __str__(self):
        return f"{self.blocks} × {self.capacity_ah or '?'} Ah"

    def get_absolute_url(self):
        return self.panel.get_absolute_url()


class PanelSetting(models.Model):
    """One setting of a panel as left. Never an access code."""

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="settings")
    name = models.CharField(max_length=120)
    value = models.CharField(max_length=120)
    unit = models.CharField(max_length=20, blank=True)
    allowed_range = models.CharField(max_length=80, blank=True)
    set_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    set_on = models.DateField(null=True, blank=True)
    row_version = models.PositiveIntegerField(default=0, editable=False)

    objects = PanelBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                "panel", Lower("name"), name="panel_setting_unique_per_panel",
                violation_error_message="This panel has a setting of this name already.",
            )
        ]  # fmt: skip

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return self.panel.get_absolute_url()
