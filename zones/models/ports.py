"""Data links of call points, and inputs: what a panel or a device offers besides outputs and detection lines."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models import Person
from sites_registry.models.versioned import Versioned
from zones.models.declared import DeclaredComplete
from zones.models.kinds import EndPlace
from zones.models.panels import ControlPanel, PanelBoundQuerySet
from zones.models.product_models import quantity
from zones.models.smoke_zones import SmokeZone, VentGroup
from zones.models.visibility import BuildingBoundQuerySet


class DataLink(Versioned, DeclaredComplete):
    """A three-core link (supply, return, data) from a panel through its call points, which it knows by serial."""

    class WhenBroken(models.TextChoices):
        FAULT = "fault", "fault shown; what lies behind the break does not release"
        OPENS = "opens", "fault shown, and the vents of the zones behind the break open"
        RING = "ring", "closed as a ring: fault shown, every call point still releases"

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="data_links")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=120, blank=True)
    when_broken = models.CharField("when it is broken", max_length=8, choices=WhenBroken, blank=True)

    objects = PanelBoundQuerySet.as_manager()
    history = kept_history()

    class Meta(DeclaredComplete.Meta):
        abstract = False
        ordering = ["panel", "number"]
        constraints = [
            *DeclaredComplete.Meta.constraints,
            models.UniqueConstraint(
                fields=["panel", "number"],
                name="data_link_number_unique_per_panel",
                violation_error_message="This panel has a data link of this number already.",
            ),
        ]

    def __str__(self):
        return f"{self.panel.tag} data link {self.number}"

    def get_absolute_url(self):
        return reverse("data-link-detail", args=[self.pk])


class LinkEntryQuerySet(BuildingBoundQuerySet):
    building_path = "data_link__panel__building"


class LinkEntry(Versioned):
    """A call point as the panel lists it: its place in the list, serial, the number it was given, the zone assigned.

    The list says nothing of where the call point hangs: `position` is filled when that was confirmed, by its serial or
    by operating it.
    """

    class ConfirmedBy(models.TextChoices):
        SERIAL = "serial", "serial read on the device"
        OPERATING = "operating", "operated, and seen at the panel"

    data_link = models.ForeignKey(DataLink, models.PROTECT, related_name="entries")
    place = models.PositiveSmallIntegerField("place in the list")
    serial = models.CharField("serial as listed", max_length=80, blank=True)
    number_given = models.PositiveSmallIntegerField("number given by the panel", null=True, blank=True)
    zone_assigned = models.ForeignKey(
        SmokeZone, models.PROTECT, null=True, blank=True, related_name="+", verbose_name="zone assigned at the panel"
    )
    position = models.ForeignKey(
        "zones.Position",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="link_entries",
        verbose_name="position confirmed",
    )
    confirmed_how = models.CharField("confirmed by", max_length=12, choices=ConfirmedBy, blank=True)
    confirmed_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, editable=False, related_name="+")
    confirmed_at = models.DateTimeField(null=True, blank=True, editable=False)

    objects = LinkEntryQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["data_link", "place"]
        verbose_name_plural = "link entries"
        constraints = [
            models.UniqueConstraint(
                fields=["data_link", "place"],
                name="link_entry_place_unique_per_link",
                violation_error_message="This place in the list of the link is taken already.",
            ),
            models.UniqueConstraint(
                fields=["data_link", "number_given"],
                condition=Q(number_given__isnull=False),
                name="link_entry_number_unique_per_link",
                violation_error_message="The panel gave this number to another call point of the link.",
            ),
            models.UniqueConstraint(
                fields=["data_link", "serial"],
                condition=~Q(serial=""),
                name="link_entry_serial_unique_per_link",
                violation_error_message="This serial is in the list of the link already.",
            ),
            models.UniqueConstraint(
                fields=["position"],
                condition=Q(position__isnull=False),
                name="link_entry_one_per_position",
                violation_error_message="Another entry is confirmed for this position. Free that one first.",
            ),
            models.CheckConstraint(
                condition=Q(position=None, confirmed_how="", confirmed_at=None)
                | (Q(position__isnull=False, confirmed_at__isnull=False) & ~Q(confirmed_how="")),
                name="link_entry_place_confirmed_somehow",
                violation_error_message="Say by what the position was confirmed: by its serial, or by operating it.",
            ),
        ]

    def __str__(self):
        return f"{self.data_link} entry {self.place}"

    def get_absolute_url(self):
        return self.data_link.get_absolute_url()

    def clean(self):
        errors = {}
        if self.position_id and self.position.data_link_id != self.data_link_id:
            errors["position"] = f"{self.position} is not on {self.data_link}. Put it there first, or choose another."
        building_id = self.data_link.panel.building_id if self.data_link_id else None
        if self.zone_assigned_id and self.zone_assigned.building_id != building_id:
            errors["zone_assigned"] = f"{self.zone_assigned} is of another building. Choose one of this building."
        if errors:
            raise ValidationError(errors)


class InputPort(Versioned, DeclaredComplete):
    """An input of a panel or of a device, for a switch, a sensor or a contact; monitored by a resistor or not."""

    class Function(models.TextChoices):
        OPEN = "open", "open"
        CLOSE = "close", "close"
        STOP = "stop", "stop"
        OPEN_CLOSE = "open_close", "open and close in turn"
        RAIN = "rain", "rain: close"
        WIND = "wind", "wind: close"
        FIRE_ALARM = "fire_alarm", "fire alarm: release"
        RESET = "reset", "reset"
        OUT_OF_SERVICE = "out_of_service", "ventilation out of service"
        OTHER = "other", "other"

    class Press(models.TextChoices):
        MOVE_FULLY = "fully", "moves all the way"
        MOVE_WHILE_HELD = "held", "moves while held"
        STOP = "stop", "stops"
        NOTHING = "nothing", "does nothing"

    panel = models.ForeignKey(ControlPanel, models.PROTECT, related_name="input_ports")
    starts_at = models.ForeignKey(
        "zones.Position",
        models.PROTECT,
        null=True,
        blank=True,
        related_name="inputs_offered",
        verbose_name="starts at device",
        help_text="Empty: at the panel.",
    )
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=120, blank=True)
    function = models.CharField(max_length=16, choices=Function, blank=True)
    long_press = models.CharField("long press", max_length=8, choices=Press, blank=True)
    short_press = models.CharField("short press", max_length=8, choices=Press, blank=True)
    smoke_zone = models.ForeignKey(SmokeZone, models.PROTECT, null=True, blank=True, related_name="input_ports")
    vent_group = models.ForeignKey(VentGroup, models.PROTECT, null=True, blank=True, related_name="input_ports")
    is_monitored = models.BooleanField("monitored", default=False)
    end_of_line_ohm = quantity("end-of-line resistor (Ω)", 9, 1)
    end_place = models.CharField("place of the resistor", max_length=16, choices=EndPlace, blank=True)
    devices = models.ManyToManyField("zones.Position", through="InputDevice", related_name="input_ports")

    objects = PanelBoundQuerySet.as_manager()
    history = kept_history()

    class Meta(DeclaredComplete.Meta):
        abstract = False
        ordering = ["panel", "number"]
        constraints = [
            *DeclaredComplete.Meta.constraints,
            models.UniqueConstraint(
                fields=["panel", "number"],
                name="input_port_number_unique_per_panel",
                violation_error_message="This panel has an input of this number already.",
            ),
            models.CheckConstraint(
                condition=Q(end_of_line_ohm=None) | Q(end_of_line_ohm__gt=0),
                name="input_port_element_above_zero",
                violation_error_message="End-of-line resistor: leave it empty if not known, else more than 0 Ω.",
            ),
        ]

    def __str__(self):
        return f"{self.panel.tag} input {self.number}"

    def get_absolute_url(self):
        return self.panel.get_absolute_url()

    def clean(self):
        check_start(self)
        group = self.vent_group
        if group and self.smoke_zone_id and group.smoke_zone_id != self.smoke_zone_id:
            raise ValidationError({"vent_group": f"{group} is a group of {group.smoke_zone}. Choose that zone."})


class InputDeviceQuerySet(BuildingBoundQuerySet):
    building_path = "input_port__panel__building"


class InputDevice(Versioned):
    """A device wired to an input; several are looped in this order."""

    input_port = models.ForeignKey(InputPort, models.PROTECT, related_name="wired_devices")
    position = models.ForeignKey("zones.Position", models.PROTECT, related_name="wired_inputs")
    order = models.PositiveSmallIntegerField(default=1)

    objects = InputDeviceQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["input_port", "order", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["input_port", "position"],
                name="input_device_once_per_input",
                violation_error_message="This device is on this input already.",
            )
        ]

    def __str__(self):
        return f"{self.position} on {self.input_port}"

    def get_absolute_url(self):
        return self.input_port.get_absolute_url()


def check_start(record):
    """Raise ValidationError at "starts_at" where the device that offers a line or input is not one of its panel."""
    start = record.starts_at
    if start is None or not record.panel_id:
        return
    if start.building_id != record.panel.building_id:
        raise ValidationError({"starts_at": f"{start} belongs to another building. Choose one of this building."})
    link = start.data_link
    panel_id = link.panel_id if link else start.panel_id
    if panel_id != record.panel_id:
        raise ValidationError(
            {"starts_at": f"{start} is not on {record.panel}. Put it on the panel or its data link first."}
        )
