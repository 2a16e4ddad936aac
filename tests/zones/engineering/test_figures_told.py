"""What each finding of the design check says it went by: name, value and unit, for panels with and without faults.

That the values are right is for the tests of each check; here it is that a person is told them, all, with their unit.
After a change on purpose: read the new figures, then have them written (`APPROVE=1 pytest` with this file).
"""

import os
from dataclasses import replace
from pathlib import Path

import pytest

from tests.zones.engineering.designs import make_circuit, make_device, make_line, make_panel
from zones.engineering import EndOfLineResistor, LineRole, PanelDesign, check_panel

APPROVED = Path(__file__).parent / "approved"
SOUND = make_panel()
PANELS = {
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


def figures_of(panel):
    for finding in check_panel(panel):
        yield f"{finding.code} | {finding.severity} | {finding.subject}"
        for figure in finding.inputs:
            value = f"{figure.value:.5g}" if isinstance(figure.value, float) else figure.value
            yield f"    {figure.name}: {value} {figure.unit}".rstrip()


@pytest.mark.parametrize("name", PANELS)
def test_the_figures_of_a_check_are_told_as_approved(name):
    path, told = APPROVED / f"{name}.txt", "\n".join(figures_of(PANELS[name])) + "\n"
    if "APPROVE" in os.environ:
        path.write_text(told)
    assert told == path.read_text()
