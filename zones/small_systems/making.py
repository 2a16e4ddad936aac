"""A small system from its answers: panel, zones, runs, positions, rules and wiring, all or nothing."""

import math
from dataclasses import dataclass, field

from django.db import transaction
from django.utils import timezone

from sites_registry.models import Building
from zones.models import (
    ActuatorCircuit,
    DetectionLine,
    Drive,
    EndPlace,
    Position,
    SmokeZone,
    Vent,
    VentGroup,
)
from zones.models.kinds import TAG_PREFIX
from zones.practice import current_practice
from zones.services.panels import add_panel, change_battery
from zones.services.positions import put_last_in_walk
from zones.services.rules import add_usual_rules
from zones.small_systems.wiring import wire
from zones.tags import tag_after

BLOCKS_OF_24_V = 2


@dataclass
class Made:
    """The records of a new small system, in the order in which they were made."""

    panel: object
    battery: object = None
    zones: list = field(default_factory=list)
    vents: list = field(default_factory=list)
    circuits: list = field(default_factory=list)
    lines: list = field(default_factory=list)
    inputs: list = field(default_factory=list)  # devices that share a block of the panel's inputs
    positions: list = field(default_factory=list)
    rules: list = field(default_factory=list)
    loops: list = field(default_factory=list)
    lengths: dict = field(default_factory=dict)  # key of a run's first device → metres leg by leg
    not_wired: list = field(default_factory=list)  # devices for which the panel's pattern has no input


@transaction.atomic
def make_small_system(*, building, system, answers):
    """Make everything that the description and the answers say, or nothing. Returns Made.

    Raises ValidationError: by field of the form where a rule is against it.
    """
    building = Building.objects.select_for_update(of=("self",)).get(pk=building.pk)
    return _Making(building, system, answers).all()


class _Making:
    """One run; tags and numbers count on from what the building has."""

    def __init__(self, building, system, answers):
        self.building, self.system, self.answers = building, system, answers
        self.tags = set(building.positions.values_list("tag", flat=True))
        self.vent_tags = set()
        self.practice = current_practice()

    def all(self):
        self._panel()
        number = self.building.smoke_zones.order_by("-number").values_list("number", flat=True).first() or 0
        for place, answer in enumerate(self.answers.zones, start=1):
            self._zone(number + place, answer)
        for part in self.system.shared_parts:
            for position in self._devices(part, self.answers.parts.get(part.key), None, None):
                self._on_input([position], self.answers.parts[part.key])
        self.made.rules = list(add_usual_rules(panel=self.made.panel))
        wire(self.made, self.answers)
        return self.made

    def _panel(self):
        settings = self.system.settings
        panel = add_panel(
            building=self.building, tag=self.answers.panel_tag, product_model=self.answers.panel_model,
            storey=self.answers.panel_storey, place=self.answers.panel_place, mains_feed=self.answers.mains_feed,
            operation=settings["operation"], after_reset=settings["after_reset"],
        )  # fmt: skip
        put_last_in_walk(panel.position)
        panel.position.save()
        self.tags.add(panel.tag)
        self.made = Made(panel)
        if self.answers.battery_model:
            self.made.battery = change_battery(
                panel=panel, fitted_on=timezone.localdate(), product_model=self.answers.battery_model,
                blocks=BLOCKS_OF_24_V,
            )  # fmt: skip

    def _zone(self, number, answer):
        zone = _saved(SmokeZone(
            building=self.building, panel=self.made.panel, number=number, name=answer.name, storey=answer.storey,
            needs_automatic_detection=self.system.has_detection,
        ))  # fmt: skip
        group = _saved(VentGroup(smoke_zone=zone, number=1))
        self.made.zones.append(zone)
        lines = {}
        for part in self.system.zone_parts:
            typed = answer.parts.get(part.key)
            if typed is None or not typed.count:
                continue
            if part.run == "output":
                self._actuators(part, typed, answer, zone, group)
            elif part.run == "line":
                self._on_line(self._devices(part, typed, zone, None), typed, lines, part, zone)
            else:
                self._on_input(self._devices(part, typed, zone, group), typed)

    def _actuators(self, part, typed, answer, zone, group):
        count = typed.count * answer.actuators_each
        drive = answer.drive or (typed.model.drive if typed.model else "")
        circuit = _saved(ActuatorCircuit(
            panel=self.made.panel, number=len(self.made.circuits) + 1, name=zone.name, drive=drive,
            expected_actuators=count, run_time_s=self._run_time(typed.model),
            delay_s=self.system.settings["circuit_delay_s"],
            end_place=EndPlace.NONE_NEEDED if drive == Drive.ADDRESSED else "",
        ))  # fmt: skip
        self.made.circuits.append(circuit)
        first = len(self.made.positions)
        for _ in range(typed.count):
            vent = _saved(Vent(smoke_zone=zone, tag=self._vent_tag()))
            self.made.vents.append(vent)
            for _ in range(answer.actuators_each):
                place = len(self.made.positions) - first + 1
                self._position(
                    part, typed, zone, vent_group=group, vent=vent, actuator_circuit=circuit, order_on_line=place
                )
        self.made.lengths[self.made.positions[first].pk] = typed.lengths_m

    def _run_time(self, model):
        """The stroke time and the firm's allowance on it, in whole seconds; None while stroke or speed is not known."""
        if model is None or not model.stroke_mm or not model.speed_mm_s:
            return None
        return math.ceil(float(model.stroke_mm / model.speed_mm_s) * self.practice.run_time_allowance)

    def _devices(self, part, typed, zone, group):
        if typed is None:
            return []
        return [self._position(part, typed, zone, vent_group=group) for _ in range(typed.count)]

    def _on_line(self, devices, typed, lines, part, zone):
        if part.line not in lines:
            panel_model = self.answers.panel_model
            lines[part.line] = _saved(DetectionLine(
                panel=self.made.panel, number=len(self.made.lines) + 1, name=part.line, smoke_zone=zone,
                end_of_line_ohm=self.answers.end_of_line_ohm or (panel_model and panel_model.end_of_line_ohm),
            ))  # fmt: skip
            self.made.lines.append(lines[part.line])
            self.made.lengths[devices[0].pk] = typed.lengths_m
        line = lines[part.line]
        before = line.positions.count()
        for place, position in enumerate(devices, start=before + 1):
            position.detection_line, position.order_on_line = line, place
            position.save()

    def _on_input(self, devices, typed):
        self.made.inputs.append(devices)
        self.made.lengths[devices[0].pk] = typed.lengths_m

    def _position(self, part, typed, zone, **where):
        position = Position(
            building=self.building, kind=part.kind, tag=self._tag(TAG_PREFIX[part.kind]), product_model=typed.model,
            smoke_zone=zone, storey=typed.storey or (zone.storey if zone else ""), panel=self.made.panel, **where,
        )  # fmt: skip
        put_last_in_walk(position)
        _saved(position)
        self.made.positions.append(position)
        return position

    def _tag(self, prefix):
        tag = tag_after(f"{prefix}0", self.tags)
        self.tags.add(tag)
        return tag

    def _vent_tag(self):
        tag = tag_after("V0", self.vent_tags)
        self.vent_tags.add(tag)
        return tag


def _saved(record):
    # Tags and numbers count on under the lock of the building; the database holds the rest of its own constraints.
    record.full_clean(validate_unique=False, validate_constraints=False)
    record.save()
    return record
