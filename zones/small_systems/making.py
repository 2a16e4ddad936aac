"""A small system from its answers: panel, zones, runs, positions, rules and wiring, all or nothing."""

import math
from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from sites_registry.models import Building
from zones.cause_and_effect.edits import add_usual_rules
from zones.design_basis.practice import current_practice
from zones.editing.tags import tag_after
from zones.engineering.cause_and_effect.rules import InputKind
from zones.models import (
    ActuatorCircuit,
    DataLink,
    DetectionLine,
    DeviceKind,
    Drive,
    EndPlace,
    InputPort,
    Position,
    SmokeZone,
    Vent,
    VentGroup,
)
from zones.models.kinds import facts_of
from zones.panels.edits import add_panel, change_battery
from zones.positions.edits import put_last_in_walk
from zones.small_systems.panel_ports import PanelPorts
from zones.small_systems.wiring import ToInputs, ToRun, wire
from zones.units.patterns import use_device_pattern

BLOCKS_OF_24_V = 2
PRESSED = (InputPort.Function.OPEN, InputPort.Function.CLOSE)


@dataclass
class Made:
    """The records of a new small system, in the order in which they were made."""

    panel: object
    battery: object = None
    zones: list = field(default_factory=list)
    vents: list = field(default_factory=list)
    runs: list = field(default_factory=list)  # circuits, data links, lines and inputs
    positions: list = field(default_factory=list)
    rules: list = field(default_factory=list)
    to_wire: list = field(default_factory=list)  # ToRun, ToInputs
    loops: list = field(default_factory=list)  # (ToRun or ToInputs, what it got)
    other_cables: list = field(default_factory=list)  # mains and battery
    not_wired: list = field(default_factory=list)  # devices for which the panel's pattern has no terminals

    def runs_of(self, model):
        return [run for run in self.runs if isinstance(run, model)]

    def of_kind(self, kind):
        return [position for position in self.positions if position.kind == kind]


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
        self.ports = PanelPorts(answers.panel_model)
        self.link = None

    def all(self):
        self._panel()
        number = self.building.smoke_zones.order_by("-number").values_list("number", flat=True).first() or 0
        for place, answer in enumerate(self.answers.zones, start=1):
            self._zone(number + place, answer)
        for part in self.system.shared_parts:
            self._shared(part, self.answers.parts[part.key])
        self.made.rules = list(add_usual_rules(panel=self.made.panel))
        wire(self.made, self.ports, self.system, self.answers)
        return self.made

    def _panel(self):
        settings = self.system.settings
        panel = add_panel(
            building=self.building,
            tag=self.answers.panel_tag,
            product_model=self.answers.panel_model,
            storey=self.answers.panel_storey,
            place=self.answers.panel_place,
            mains_feed=self.answers.mains_feed,
            operation=settings["operation"],
            after_reset=settings["after_reset"],
        )
        put_last_in_walk(panel.position)
        panel.position.save()
        self.tags.add(panel.tag)
        self.made = Made(panel)
        if self.answers.battery_model:
            blocks = [self.answers.parts[part.key].count for part in self.system.parts if part.run == "battery"]
            self.made.battery = change_battery(
                panel=panel,
                fitted_on=self.answers.battery_fitted_on or timezone.localdate(),
                product_model=self.answers.battery_model,
                blocks=sum(blocks) or BLOCKS_OF_24_V,
            )
        if any(part.run == "data link" for part in self.system.parts):
            self._data_link(panel)

    def _data_link(self, panel):
        if not self.ports.has_data_link:
            raise ValidationError(
                {
                    "panel_model": f"The wiring pattern of {self.answers.panel_model} has no data link. Choose a panel "
                    "that has one, or add it to the pattern of this model."
                }
            )
        self.link = self._run(DataLink(panel=panel, number=1, name="call points"))
        self.made.to_wire.append(ToRun(self.link, []))

    def _zone(self, number, answer):
        zone = _saved(
            SmokeZone(
                building=self.building,
                panel=self.made.panel,
                number=number,
                name=answer.name,
                storey=answer.storey,
                needs_automatic_detection=self._is_detected(answer),
            )
        )
        group = _saved(VentGroup(smoke_zone=zone, number=1))
        self.made.zones.append(zone)
        lines, call_points = {}, []
        for part in self.system.zone_parts:
            typed = answer.parts[part.key]
            if not typed.count:
                continue
            if part.run == "output":
                self._actuators(part, typed, answer, zone, group)
            elif part.run == "line":
                self._on_line(part, typed, zone, lines)
            elif part.run == "data link":
                call_points += self._on_link(part, typed, zone)
            elif part.run == "call point line":
                self._at_call_point(part, typed, zone, call_points)
            elif part.run == "call point input":
                self._to_inputs_of(call_points, part, typed, zone, group)
            else:
                self._on_inputs(part, typed, zone, group)
        self._close_lines_of(call_points)

    def _is_detected(self, answer):
        return any(
            facts_of(part.kind).input_kind is InputKind.DETECTOR and answer.parts[part.key].count
            for part in self.system.zone_parts
        )

    def _shared(self, part, typed):
        if part.run == "battery":
            typed = type(typed)(typed.count, self.answers.battery_model)
            for _ in range(typed.count):
                self._position(part, typed, None, storey=self.answers.panel_storey)
        else:
            self._on_inputs(part, typed, None, None)

    # Circuits ---------------------------------------------------------------------------------------------------------

    def _actuators(self, part, typed, answer, zone, group):
        drive = answer.drive or (typed.model.drive if typed.model else "")
        in_box = answer.end_place == EndPlace.IN_BOX
        circuit = self._run(
            ActuatorCircuit(
                panel=self.made.panel,
                number=len(self.made.runs_of(ActuatorCircuit)) + 1,
                name=zone.name,
                drive=drive,
                expected_actuators=typed.count * answer.actuators_each,
                run_time_s=self._run_time(typed.model),
                delay_s=self.system.settings["circuit_delay_s"],
                end_place=EndPlace.NONE_NEEDED if drive == Drive.ADDRESSED else EndPlace.IN_BOX if in_box else "",
                monitored_by=self.ports.monitored_by if drive == Drive.POLARITY else "",
            )
        )
        devices = []
        for _ in range(typed.count):
            vent = _saved(Vent(smoke_zone=zone, tag=self._vent_tag()))
            self.made.vents.append(vent)
            for _ in range(answer.actuators_each):
                where = {"vent_group": group, "vent": vent, "actuator_circuit": circuit}
                devices.append(self._position(part, typed, zone, order_on_line=len(devices) + 1, **where))
        box = self._box(zone, devices[-1]) if in_box else None
        self.made.to_wire.append(ToRun(circuit, devices, typed.lengths_m, self.answers.output_cable, box))

    def _box(self, zone, last):
        box = Position(
            building=self.building,
            kind=DeviceKind.JUNCTION_BOX,
            tag=self._tag(DeviceKind.JUNCTION_BOX),
            smoke_zone=zone,
            storey=last.storey,
            panel=self.made.panel,
            place=f"before {last.tag}",
        )
        put_last_in_walk(box)
        self.made.positions.append(_saved(box))
        return box

    def _run_time(self, model):
        """The stroke time and the firm's allowance on it, in whole seconds; None while stroke or speed is not known."""
        if model is None or not model.stroke_mm or not model.speed_mm_s:
            return None
        slowest = min(model.speed_mm_s, model.lower_speed_mm_s or model.speed_mm_s)
        return math.ceil(float(model.stroke_mm / slowest) * self.practice.run_time_allowance)

    # Lines ------------------------------------------------------------------------------------------------------------

    def _on_line(self, part, typed, zone, lines):
        if part.line not in lines:
            number = sum(line.starts_at_id is None for line in self.made.runs_of(DetectionLine)) + 1
            lines[part.line] = ToRun(
                self._run(
                    DetectionLine(
                        panel=self.made.panel,
                        number=number,
                        name=part.line,
                        smoke_zone=zone,
                        end_of_line_ohm=self._end_of_line_ohm(),
                    )
                ),
                [],
                typed.lengths_m,
                self.answers.other_cable,
            )
            self.made.to_wire.append(lines[part.line])
        self._extend(lines[part.line], part, typed, zone)

    def _end_of_line_ohm(self):
        """As answered, else as the panel's data sheet says."""
        model = self.answers.panel_model
        return self.answers.end_of_line_ohm or (model and model.end_of_line_ohm)

    def _extend(self, to_run, part, typed, zone):
        for _ in range(typed.count):
            where = {"detection_line": to_run.owner, "order_on_line": len(to_run.devices) + 1}
            to_run.devices.append(self._position(part, typed, zone, **where))

    def _on_link(self, part, typed, zone):
        """Call points of a zone on the data link of all zones; each makes the line and the inputs that it offers."""
        to_link = next(one for one in self.made.to_wire if one.owner is self.link)
        to_link.cable = self.answers.other_cable
        made = []
        for place in range(typed.count):
            position = self._position(
                part,
                typed,
                zone,
                data_link=self.link,
                order_on_line=len(to_link.devices) + 1,
            )
            use_device_pattern(position=position)
            to_link.devices.append(position)
            # A length that is not known keeps its place: those of the next zone follow it.
            to_link.lengths_m = (*to_link.lengths_m, *(typed.lengths_m[place : place + 1] or (None,)))
            made.append(position)
        return made

    def _at_call_point(self, part, typed, zone, call_points):
        """Devices on the line that the first call point of the zone offers."""
        line = call_points[0].lines_offered.order_by("number").first() if call_points else None
        if line is None:
            raise ValidationError(f"{zone.name} has no call point that offers a detection line. {_remedy(part)}")
        to_run = ToRun(self._run(line), [], typed.lengths_m, self.answers.other_cable)
        self.made.to_wire.append(to_run)
        self._extend(to_run, part, typed, zone)

    def _close_lines_of(self, call_points):
        """Lines that call points offer and nobody uses: the resistor stays on their own terminals."""
        for call_point in call_points:
            for line in call_point.lines_offered.order_by("number"):
                if not line.positions.exists():
                    self.made.to_wire.append(ToRun(self._run(line), []))

    # Inputs -----------------------------------------------------------------------------------------------------------

    def _to_inputs_of(self, call_points, part, typed, zone, group):
        inputs = list(call_points[0].inputs_offered.order_by("number")) if call_points else []
        if not inputs:
            raise ValidationError(f"{zone.name} has no call point that offers inputs for a switch. {_remedy(part)}")
        for one in inputs:
            one.vent_group = group
            _saved(self._pressed(one))
            self.made.runs.append(one)
        device = self._position(part, typed, zone, vent_group=group)
        self.made.to_wire.append(ToInputs(inputs, [device], typed.lengths_m, self.answers.other_cable))

    def _on_inputs(self, part, typed, zone, group):
        """Switches of a zone share a block of the panel's inputs; with inputs one by one, each device has its own."""
        devices = [self._position(part, typed, zone, vent_group=group) for _ in range(typed.count)]
        is_switch = facts_of(part.kind).input_kind is InputKind.VENTILATION_SWITCH
        if self.ports.inputs == "block":
            together = [devices] if is_switch else [[device] for device in devices]
            for group_of in filter(None, together):
                self.made.to_wire.append(ToInputs([], group_of, typed.lengths_m, self.answers.other_cable))
        elif self.ports.inputs == "single":
            for place, device in enumerate(devices):
                inputs = self._inputs_for(part, zone, group, device)
                lengths = typed.lengths_m[place : place + 1]
                self.made.to_wire.append(ToInputs(inputs, [device], lengths, self.answers.other_cable))
        else:
            self.made.not_wired += devices

    def _inputs_for(self, part, zone, group, device):
        made = []
        for function in facts_of(part.kind).input_functions:
            number = sum(one.starts_at_id is None for one in self.made.runs_of(InputPort)) + 1
            one = InputPort(
                panel=self.made.panel,
                number=number,
                name=f"{device.tag} {function}",
                function=function,
                smoke_zone=zone,
                vent_group=group,
                is_monitored=part.monitored,
                end_of_line_ohm=self._end_of_line_ohm() if part.monitored else None,
            )
            made.append(self._run(self._pressed(one) if function in PRESSED else one))
        return made

    def _pressed(self, one):
        settings = self.system.settings
        one.long_press, one.short_press = settings["long_press"], settings["short_press"]
        return one

    # Names ------------------------------------------------------------------------------------------------------------

    def _run(self, record):
        self.made.runs.append(record if record.pk else _saved(record))
        return record

    def _position(self, part, typed, zone, **where):
        storey = where.pop("storey", "") or typed.storey or (zone.storey if zone else "")
        position = Position(
            building=self.building,
            kind=part.kind,
            tag=self._tag(part.kind),
            product_model=typed.model,
            smoke_zone=zone,
            storey=storey,
            panel=self.made.panel,
            **where,
        )
        put_last_in_walk(position)
        self.made.positions.append(_saved(position))
        return position

    def _tag(self, kind):
        tag = tag_after(f"{facts_of(kind).tag_prefix}0", self.tags)
        self.tags.add(tag)
        return tag

    def _vent_tag(self):
        tag = tag_after("V0", self.vent_tags)
        self.vent_tags.add(tag)
        return tag


def _remedy(part):
    return f"Choose a model that has one, or answer 0 for: {part.label.lower()}."


def _saved(record):
    # Tags and numbers count on under the lock of the building; the database holds the rest of its own constraints.
    record.full_clean(validate_unique=False, validate_constraints=False)
    record.save()
    return record
