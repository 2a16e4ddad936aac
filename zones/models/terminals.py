"""Terminals, cables and cores: `-X3:5` is block X3, terminal 5 (IEC 81346-2, IEC 61666)."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Q
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models import Building, Person
from sites_registry.models.versioned import Versioned
from zones.engineering.cable_ratings import INSULATION_WORDS, METHOD_WORDS
from zones.engineering.natural_order import natural_key
from zones.models.circuits import ActuatorCircuit, DetectionLine
from zones.models.kinds import DeviceKind
from zones.models.panels import ControlPanel
from zones.models.ports import DataLink, InputPort
from zones.models.positions import Position
from zones.models.product_models import quantity
from zones.models.visibility import BuildingBoundQuerySet

MOST_CORES_OF_A_TERMINAL = 4
RUNS_OF_A_TERMINAL = ("actuator_circuit", "detection_line", "data_link", "input_port")
_ONE_RUN_AT_MOST = Q()
for _run in RUNS_OF_A_TERMINAL:
    _ONE_RUN_AT_MOST |= Q(**{other: None for other in RUNS_OF_A_TERMINAL if other != _run})


class Terminal(Versioned):
    """One terminal of a panel or of a device."""

    class ElectricalKind(models.TextChoices):
        SUPPLY = "supply", "mains supply"
        BATTERY = "battery", "battery"
        OUTPUT = "output", "actuator output"
        DATA = "data", "data"
        MONITOR = "monitor", "monitoring core"
        LINE = "line", "monitored line"
        LINK = "link", "data link"
        INPUT = "input", "input"
        CONTACT = "contact", "signal contact"
        EARTH = "earth", "protective earth"
        OTHER = "other", "other"

    class Pole(models.TextChoices):
        """The pole as measured or marked; never inferred from a colour."""

        PLUS = "+", "+"
        MINUS = "-", "−"

    class Passing(models.TextChoices):
        IN = "in", "goes in here"
        OUT = "out", "goes out here"

    building = models.ForeignKey(Building, models.PROTECT, related_name="terminals", editable=False)
    panel = models.ForeignKey(ControlPanel, models.PROTECT, null=True, blank=True, related_name="terminals")
    position = models.ForeignKey(
        Position,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="terminals",
        help_text="The device that has it.",
    )
    block = models.CharField(max_length=16, help_text="X3 of -X3:5.")
    number = models.CharField(max_length=16, help_text="5 of -X3:5.")
    order_key = models.CharField(max_length=120, editable=False)
    function = models.CharField(max_length=120, blank=True)
    electrical_kind = models.CharField("electrical kind", max_length=12, choices=ElectricalKind, blank=True)
    pole = models.CharField(max_length=1, choices=Pole, blank=True)
    passing = models.CharField("line or output", max_length=3, choices=Passing, blank=True)
    rated_voltage_v = quantity("rated voltage (V)", 6, 1)
    actuator_circuit = models.ForeignKey(
        ActuatorCircuit, models.PROTECT, null=True, blank=True, related_name="terminals", verbose_name="output"
    )
    detection_line = models.ForeignKey(
        DetectionLine, models.PROTECT, null=True, blank=True, related_name="terminals", verbose_name="line"
    )
    data_link = models.ForeignKey(
        DataLink, models.PROTECT, null=True, blank=True, related_name="terminals", verbose_name="data link"
    )
    input_port = models.ForeignKey(
        InputPort, models.PROTECT, null=True, blank=True, related_name="terminals", verbose_name="input"
    )
    cores_allowed = models.PositiveSmallIntegerField("cores it takes", default=1)
    # Seen on site as recorded; taken back when the core on it changes.
    checked_at = models.DateTimeField(null=True, blank=True, editable=False)
    checked_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+", editable=False)

    objects = BuildingBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["panel", "position", "order_key"]
        constraints = [
            models.CheckConstraint(
                condition=Q(panel=None, position__isnull=False) | Q(panel__isnull=False, position=None),
                name="terminal_of_a_panel_or_of_a_device",
                violation_error_message="A terminal belongs to a panel or to a device: choose one of the two.",
            ),
            models.UniqueConstraint(
                fields=["panel", "block", "number"],
                condition=Q(position=None),
                name="terminal_unique_per_panel",
                violation_error_message="This panel has this terminal already.",
            ),
            models.UniqueConstraint(
                fields=["position", "block", "number"],
                condition=Q(panel=None),
                name="terminal_unique_per_device",
                violation_error_message="This device has this terminal already.",
            ),
            models.CheckConstraint(
                condition=Q(rated_voltage_v=None) | Q(rated_voltage_v__gt=0),
                name="terminal_rated_voltage_above_zero",
                violation_error_message="Rated voltage: leave it empty if not known, else more than 0 V.",
            ),
            models.CheckConstraint(
                condition=Q(panel__isnull=False) | Q(actuator_circuit=None, data_link=None),
                name="terminal_of_an_output_or_a_link_of_its_panel",
                violation_error_message="Only a terminal of a panel belongs to an output or a data link; lines and "
                "inputs may start at a device.",
            ),
            models.CheckConstraint(
                condition=_ONE_RUN_AT_MOST,
                name="terminal_of_one_run_at_most",
                violation_error_message="A terminal belongs to one output, line, data link or input at most.",
            ),
            models.CheckConstraint(
                condition=Q(cores_allowed__gte=1, cores_allowed__lte=MOST_CORES_OF_A_TERMINAL),
                name="terminal_cores_allowed_possible",
                violation_error_message=f"A terminal takes 1 to {MOST_CORES_OF_A_TERMINAL} cores.",
            ),
        ]

    def __str__(self):
        return f"-{self.block}:{self.number}"

    def save(self, *args, **kwargs):
        self.order_key = natural_key(f"{self.block}:{self.number}")
        self.building_id = (self.panel or self.position).building_id
        super().save(*args, **kwargs)

    def get_absolute_url(self):
        return (self.panel or self.position).get_absolute_url()

    def clean(self):
        for name in RUNS_OF_A_TERMINAL:
            record = getattr(self, name)
            if record and self.panel_id and record.panel_id != self.panel_id:
                raise ValidationError({name: f"{record} is of another panel. Choose one of {self.panel}."})
            start = getattr(record, "starts_at_id", None)
            if record and start != self.position_id:
                where = f"starts at {record.starts_at}" if start else "starts at the panel"
                raise ValidationError({name: f"{record} {where}, so its terminals are there. Choose another."})


def choices_of_insulation():
    return [(str(one), words) for one, words in INSULATION_WORDS.items()]


def choices_of_methods():
    """Methods of installation with a current rating (zones.engineering.cable_ratings)."""
    return [(str(one), words) for one, words in METHOD_WORDS.items()]


class Cable(Versioned):
    """One cable between two places of a building.

    As a run of an actuator circuit or a detection line it goes on from another run (`upstream`; none: from the panel)
    and ends at a device (`feeds`) or at a junction box (none). Rules across rows: cable_rules.py.
    """

    class ConductorClass(models.TextChoices):
        SOLID = "1", "1 solid"
        STRANDED = "2", "2 stranded"
        FLEXIBLE = "5", "5 flexible"

    class FireClass(models.TextChoices):
        PH = "ph", "PH (EN 50200)"
        P = "p", "P (EN 50577)"
        E = "e", "E (DIN 4102-12)"

    building = models.ForeignKey(Building, models.PROTECT, related_name="cables")
    tag = models.CharField(max_length=40)
    cable_type = models.CharField("type", max_length=80, blank=True)
    cores_count = models.PositiveSmallIntegerField("number of cores", null=True, blank=True)
    area_mm2 = quantity("area of a core (mm²)", 6, 2)
    awg = models.CharField("size (AWG)", max_length=4, blank=True)
    conductor_class = models.CharField("class (IEC 60228)", max_length=1, choices=ConductorClass, blank=True)
    is_tinned = models.BooleanField("tinned copper", default=False)
    cores_per_pole = models.PositiveSmallIntegerField("cores in parallel per pole", null=True, blank=True)
    insulation = models.CharField("insulation of the cores", max_length=16, choices=choices_of_insulation, blank=True)
    method = models.CharField("method of installation", max_length=2, choices=choices_of_methods, blank=True)
    grouped_circuits = models.PositiveSmallIntegerField("circuits bunched", null=True, blank=True)
    ambient_c = models.DecimalField("ambient temperature (°C)", max_digits=4, decimal_places=1, null=True, blank=True)
    length_m = quantity("length (m)", 7, 1)
    hot_length_m = quantity("length exposed to fire (m)", 7, 1)
    actuator_circuit = models.ForeignKey(
        ActuatorCircuit, models.PROTECT, null=True, blank=True, related_name="cables", verbose_name="actuator circuit"
    )
    detection_line = models.ForeignKey(
        DetectionLine, models.PROTECT, null=True, blank=True, related_name="cables", verbose_name="detection line"
    )
    upstream = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="continued_by", verbose_name="goes on from cable"
    )
    feeds = models.ForeignKey(
        Position, models.PROTECT, null=True, blank=True, related_name="fed_by", verbose_name="device at its far end"
    )
    far_box = models.ForeignKey(
        Position,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="cables_in",
        verbose_name="junction box at its far end",
        limit_choices_to={"kind": DeviceKind.JUNCTION_BOX},
    )
    fire_rating = models.CharField(max_length=40, blank=True)
    fire_class = models.CharField("class of circuit integrity", max_length=2, choices=FireClass, blank=True)
    integrity_min = models.PositiveSmallIntegerField("keeps its circuit in a fire for (min)", null=True, blank=True)
    fixing_min = models.PositiveSmallIntegerField("its fixings hold in a fire for (min)", null=True, blank=True)
    from_place = models.CharField("from", max_length=80, blank=True)
    to_place = models.CharField("to", max_length=80, blank=True)
    route = models.CharField(max_length=200, blank=True)

    objects = BuildingBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["building", "tag"]
        constraints = [
            models.UniqueConstraint(
                "building",
                models.functions.Upper("tag"),
                name="cable_tag_unique_per_building",
                violation_error_message="This building has a cable with this tag already.",
            ),
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gt": 0}),
                    name=f"cable_{name}_above_zero",
                    violation_error_message="Cores, area and length: leave them empty if not known, else more than 0.",
                )
                for name in ("cores_count", "area_mm2", "length_m")
            ],
            models.CheckConstraint(
                condition=Q(cores_per_pole=None)
                | Q(cores_per_pole__gte=1, cores_per_pole__lte=8, cores_count=None)
                | Q(cores_per_pole__gte=1, cores_per_pole__lte=8, cores_count__gte=2 * models.F("cores_per_pole")),
                name="cable_cores_per_pole_possible",
                violation_error_message="Cores in parallel per pole: 1 to 8, and both poles need them in the cable.",
            ),
            models.CheckConstraint(
                condition=Q(grouped_circuits=None) | Q(grouped_circuits__gte=1, grouped_circuits__lte=100),
                name="cable_grouped_circuits_possible",
                violation_error_message="Circuits bunched: empty if not known, else 1 to 100, its own counted.",
            ),
            models.CheckConstraint(
                condition=Q(ambient_c=None) | Q(ambient_c__gte=-40, ambient_c__lte=80),
                name="cable_ambient_possible",
                violation_error_message="Ambient temperature of a cable: empty if not known, else -40 to 80 °C.",
            ),
            *[
                models.CheckConstraint(
                    condition=Q(**{name: None}) | Q(**{f"{name}__gte": 1, f"{name}__lte": 240}),
                    name=f"cable_{name}_possible",
                    violation_error_message="Minutes in a fire: leave them empty if not known, else 1 to 240.",
                )
                for name in ("integrity_min", "fixing_min")
            ],
            models.CheckConstraint(
                condition=Q(hot_length_m=None)
                | Q(hot_length_m__gte=0, length_m=None)
                | Q(hot_length_m__gte=0, hot_length_m__lte=models.F("length_m")),
                name="cable_hot_length_within_its_length",
                violation_error_message="The part in the fire is 0 m or more, and at most the length of the cable.",
            ),
            models.CheckConstraint(
                condition=Q(area_mm2=None) | Q(awg=""),
                name="cable_area_or_awg",
                violation_error_message="Give the area in mm² or the AWG size, not both.",
            ),
            models.CheckConstraint(
                condition=Q(actuator_circuit=None) | Q(detection_line=None),
                name="cable_of_a_circuit_or_of_a_line",
                violation_error_message="A cable is a run of a circuit or of a line, not of both.",
            ),
            models.CheckConstraint(
                condition=Q(actuator_circuit__isnull=False)
                | Q(detection_line__isnull=False)
                | Q(upstream=None, feeds=None),
                name="cable_run_belongs_to_a_circuit_or_a_line",
                violation_error_message="Say of which circuit or line it is a run, or clear where it goes on from and "
                "what it feeds.",
            ),
            models.CheckConstraint(
                condition=Q(feeds=None) | Q(far_box=None),
                name="cable_feeds_a_device_or_ends_in_a_box",
                violation_error_message="A cable ends at a device or in a junction box, not at both.",
            ),
            models.UniqueConstraint(
                fields=["feeds"],
                condition=Q(feeds__isnull=False),
                name="cable_one_per_fed_device",
                violation_error_message="Another cable feeds this device already. Change that one first.",
            ),
        ]

    def __str__(self):
        return self.tag

    def get_absolute_url(self):
        return reverse("cable-detail", args=[self.pk])

    def clean(self):
        """The runs of a circuit or line form a tree that starts at the panel, all in this building."""
        from zones.models.cable_rules import check_cable

        check_cable(self)


class CableBoundQuerySet(BuildingBoundQuerySet):
    building_path = "cable__building"


class Core(Versioned):
    """One core of a cable; with no ends it is spare: insulated, parked, labelled."""

    cable = models.ForeignKey(Cable, models.PROTECT, related_name="cores")
    number = models.PositiveSmallIntegerField()
    colour = models.CharField(max_length=8, blank=True, help_text="IEC 60757 code: BK, BN, GNYE …")
    is_spare = models.BooleanField("spare, parked on purpose", default=False)

    objects = CableBoundQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["cable", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["cable", "number"],
                name="core_number_unique_per_cable",
                violation_error_message="This cable has a core of this number already.",
            )
        ]

    def __str__(self):
        return f"{self.cable.tag}.{self.number}" + (f" {self.colour}" if self.colour else "")


class CoreEndQuerySet(BuildingBoundQuerySet):
    building_path = "core__cable__building"


class CoreEnd(Versioned):
    """One end of a core on a terminal; the database allows one use per terminal, or per slot where it takes more."""

    class End(models.TextChoices):
        NEAR = "near", "near end"
        FAR = "far", "far end"

    core = models.ForeignKey(Core, models.PROTECT, related_name="ends")
    end = models.CharField(max_length=4, choices=End)
    terminal = models.ForeignKey(Terminal, models.PROTECT, related_name="core_ends")
    # A terminal that takes two cores has a slot for each; nearly all take one.
    slot = models.PositiveSmallIntegerField(default=1, editable=False)

    objects = CoreEndQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["core", "end"]
        constraints = [
            models.UniqueConstraint(
                fields=["core", "end"],
                name="core_end_once",
                violation_error_message="This end of the core is on a terminal already.",
            ),
            models.UniqueConstraint(
                fields=["terminal", "slot"],
                name="core_end_one_per_slot_of_a_terminal",
                violation_error_message="This terminal is in use already. Free it first, or choose another.",
            ),
            models.CheckConstraint(
                condition=Q(slot__gte=1, slot__lte=MOST_CORES_OF_A_TERMINAL),
                name="core_end_slot_possible",
                violation_error_message=f"A terminal takes 1 to {MOST_CORES_OF_A_TERMINAL} cores.",
            ),
        ]

    def __str__(self):
        return f"{self.core} {self.get_end_display()} on {self.terminal}"

    def clean(self):
        if self.terminal_id and self.slot > self.terminal.cores_allowed:
            raise ValidationError({"terminal": "This terminal is in use already. Free it first, or choose another."})
