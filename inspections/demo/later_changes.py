"""Changes after the last as-installed revision of the first building: one of each kind, as work that goes on."""

from inspections.demo.systems import save
from inspections.demo.wiring import FOR_LINES
from zones.cause_and_effect.edits import add_usual_rules
from zones.models import CoreEnd, DeviceKind, PanelSetting, Position, Terminal
from zones.positions.edits import retire
from zones.units.edits import find_or_create_unit
from zones.units.fittings import swap, take_off
from zones.wiring.loops import loop_run
from zones.wiring.terminals import put_ends

CHANGED = "Ropewalk Hall"


def change_since_the_revision(building, today):
    """Add, give up, move, swap, rewire and set otherwise, each once; what is wired stays wired to the last core."""
    if building.name != CHANGED:
        return
    detectors = list(building.positions.filter(kind=DeviceKind.SMOKE_DETECTOR).order_by("tag_key"))
    first, second = detectors[:2]
    add_a_detector(first)
    first.place = "moved beside the new partition"
    save(first)
    retire_a_switch(building, today)
    add_usual_rules(panel=first.panel)
    fitted = second.fittings.open().get()
    unit, _ = find_or_create_unit(product_model=fitted.unit.product_model, serial="LS-900001")
    swap(position=second, new_unit=unit, swapped_on=today, reason="Head dirty after works.")
    setting = PanelSetting.objects.filter(panel__building=building).order_by("pk").first()
    setting.value, setting.set_on = "90", today
    save(setting)
    move_a_core(building)


def add_a_detector(like):
    """One more detector at the end of a line: a new cable, and the end-of-line resistor moves on to it."""
    line = like.detection_line
    last = line.positions.in_use().order_by("order_on_line").last()
    save(
        Position(
            building=like.building,
            tag="SD90",
            kind=DeviceKind.SMOKE_DETECTOR,
            panel=like.panel,
            smoke_zone=like.smoke_zone,
            product_model=like.product_model,
            storey="2",
            place="new store room",
            walking_order=last.walking_order + 1,
            detection_line=line,
            order_on_line=last.order_on_line + 1,
        )
    )
    loop_run(owner=line, devices=list(line.positions.in_use().order_by("order_on_line")), options=FOR_LINES)


def retire_a_switch(building, today):
    """A switch taken out with its rules; the cores that went to it are parked."""
    switch = building.positions.filter(kind=DeviceKind.VENTILATION_SWITCH).order_by("tag_key").first()
    for end in CoreEnd.objects.filter(terminal__position=switch).select_related("core"):
        put_ends(core=end.core, near=None, far=None)
        end.core.is_spare = True
        save(end.core)
    switch.rules.all().delete()
    take_off(position=switch, removed_on=today, reason="Taken out with the old door.")
    retire(position=switch, retired_on=today)


def move_a_core(building):
    """A terminal of the panel is broken: its core goes to a new one, which serves the same output."""
    ends = CoreEnd.objects.filter(core__cable__building=building, terminal__actuator_circuit__isnull=False, end="near")
    end = ends.select_related("terminal", "core").order_by("pk").first()
    broken = end.terminal
    free = Terminal.objects.get(pk=broken.pk)
    free.pk, free._state.adding = None, True
    free.block, free.number = "X90", "1"
    save(free)
    put_ends(core=end.core, near=free, far=end.core.ends.get(end="far").terminal)
    broken.actuator_circuit, broken.electrical_kind, broken.function = None, "other", "broken, not used"
    broken.pole = broken.passing = ""
    save(broken)
