"""Changes after the last as-installed revision of the first building: one of each kind, as work that goes on."""

from inspections.demo.systems import save
from zones.models import CoreEnd, DeviceKind, PanelSetting, Position, Terminal
from zones.services.fittings import swap
from zones.services.rules import add_usual_rules
from zones.services.units import find_or_create_unit
from zones.services.wiring import put_ends

CHANGED = "Ropewalk Hall"


def change_since_the_revision(building, today):
    """Add, give up, move, swap, rewire and set otherwise, each once."""
    if building.name != CHANGED:
        return
    detectors = list(building.positions.filter(kind=DeviceKind.SMOKE_DETECTOR).order_by("tag_key"))
    first, second, third = detectors[:3]
    save(Position(
        building=building, tag="SD90", kind=DeviceKind.SMOKE_DETECTOR, panel=first.panel, smoke_zone=first.smoke_zone,
        product_model=first.product_model, storey="2", place="new store room", walking_order=first.walking_order + 1,
    ))  # fmt: skip
    first.place = "moved beside the new partition"
    save(first)
    second.retired_on = today
    save(second)
    second.rules.all().delete()
    add_usual_rules(panel=first.panel)
    fitted = third.fittings.open().get()
    unit, _ = find_or_create_unit(product_model=fitted.unit.product_model, serial="LS-900001")
    swap(position=third, new_unit=unit, swapped_on=today, reason="Head dirty after works.")
    setting = PanelSetting.objects.filter(panel__building=building).order_by("pk").first()
    setting.value, setting.set_on = "90", today
    save(setting)
    move_a_core(building)


def move_a_core(building):
    end = CoreEnd.objects.filter(core__cable__building=building, terminal__panel__isnull=False, end="near").first()
    if end is None:
        return
    free = save(Terminal(panel=end.terminal.panel, block="X90", number="1", function="in place of a broken terminal",
                         electrical_kind=end.terminal.electrical_kind))  # fmt: skip
    other = end.core.ends.exclude(pk=end.pk).select_related("terminal").first()
    put_ends(core=end.core, near=free, far=other and other.terminal)
