"""What the design check says, whole: sentence, source, formula, limit, and each figure that it went by with its unit.

That the values are right is for the tests of each check; here it is that a person is told them, all, and that nothing
else changes what is said. After a change on purpose: read what is new in `approved/`, then have it written
(`APPROVE=1 pytest` with this file).
"""

from dataclasses import replace

import pytest

from tests.zones.engineering.approval import compare, told
from tests.zones.engineering.designs import make_circuit, make_device, make_line, make_panel
from tests.zones.engineering.told_panels import RECORDED, less_one_figure, made_wrong
from zones.engineering import EndOfLineResistor, LineRole, PanelDesign, Severity, check_panel

SOUND = make_panel()
PANELS = {
    "recorded": RECORDED,
    "sound": SOUND,
    "nothing_known": PanelDesign("panel P1", circuits=(make_circuit(),), lines=(make_line(),)),
    "long_cables": replace(SOUND, circuits=(make_circuit(section_m=120.0, fire_minutes=30),)),
    "many_actuators": replace(SOUND, circuits=(make_circuit(count=6),), groups=()),
    "weak_supply": replace(
        SOUND,
        supply=replace(SOUND.supply, rated_current_a=1.0, charger_inhibited=False, charger_current_a=0.05),
        battery=replace(SOUND.battery, capacity_ah=1.0, coldest_c=-5.0, fuse_a=1.0, usual_c=35.0),
    ),
    "wrong_line": replace(
        SOUND,
        lines=(
            make_line("L1", elements=(EndOfLineResistor("D2", 100.0, 0.05),)),
            make_line("L2", devices=tuple(make_device(f"B{k}", LineRole.CALL_POINT) for k in range(1, 9))),
        ),
    ),
}


@pytest.mark.parametrize("name", PANELS)
def test_the_findings_of_a_check_are_told_as_approved(name):
    compare(name, (line for finding in check_panel(PANELS[name]) for line in told(finding)))


def test_what_one_figure_less_changes_is_told_as_approved():
    before, lines = set(check_panel(RECORDED)), []
    for what, panel in less_one_figure():
        lines.append(f"not known: {what}")
        lines += [f"    {one.severity}: {one.sentence}" for one in check_panel(panel) if one not in before]
    compare("one_figure_less", lines)


def test_what_one_wrong_figure_changes_is_told_as_approved():
    before, lines = set(check_panel(RECORDED)), []
    for what, panel in made_wrong():
        lines.append(f"entered: {what}")
        changed = [one for one in check_panel(panel) if one not in before and one.severity != Severity.MEETS]
        lines += [f"    {line}" for finding in changed for line in told(finding)]
    compare("one_figure_wrong", lines)
