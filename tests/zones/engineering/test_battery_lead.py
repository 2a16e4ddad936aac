"""Leads between battery and panel: IEC 60364-5-52 and 4-43 [S2], IEC 60228 [S2]; currents by hand."""

from dataclasses import replace

import pytest

from tests.zones.engineering.designs import make_panel, only
from tests.zones.engineering.test_protection import blade, chain_of
from zones.engineering import Severity, check_panel
from zones.engineering.fuses import FUSE_KINDS


@pytest.mark.parametrize(
    ("fuse_a", "area_mm2", "severity"),
    # Method B1 (IEC 60364-5-52, table B.52.2) × 0.87 at 40 °C: 4 mm² 27.8 A, 6 mm² 35.7 A, 16 mm² 66.1 A.
    [(32.0, 6.0, Severity.MEETS), (32.0, 4.0, Severity.FAIL), (32.0, 25.0, Severity.MEETS), (10.0, 0.3, Severity.FAIL)],
)
def test_the_fuse_of_the_battery_protects_its_leads(fuse_a, area_mm2, severity):
    kind = FUSE_KINDS["blade"]
    battery = replace(make_panel().battery, fuse_a=fuse_a, fuse_kind=kind, lead_mm2=area_mm2)
    found = only(check_panel(make_panel(battery=battery)), "battery.lead")
    assert found.severity == severity
    unknown = only(check_panel(make_panel(battery=replace(battery, fuse_kind=None))), "battery.lead")
    assert (unknown.severity, unknown.inputs[0].name) == (Severity.MISSING, "kind of the fuse")


def test_the_leads_of_the_battery_lie_in_the_loop_of_a_short_circuit():
    """2 × 2 m of 2.5 mm², class 5: 4 × 7.98e-3 Ω × 1.1965 at 70 °C = 0.0382 Ω before 1.0639 + 0.08 Ω."""
    far = {"section_m": 30.0, "lead_mm2": 2.5, "lead_m": 2.0}
    found = only(chain_of(blade(5.0), **far), "protection.disconnection")
    figures = {one.name: one.value for one in found.inputs}
    assert figures["leads of the battery, warm"] == pytest.approx(0.0382, abs=1e-4)
    assert figures["least current at the end of battery discharge"] == pytest.approx(20.7 / 1.1821, abs=0.02)


@pytest.mark.parametrize(("field", "asks"), [("lead_m", "length"), ("lead_mm2", "area")])
def test_leads_that_are_not_known_are_asked_for_only_where_they_decide(field, asks):
    known = {"lead_mm2": 4.0, "lead_m": 1.0}
    easy = only(chain_of(blade(5.0), section_m=10.0, **{**known, field: None}), "protection.disconnection")
    assert easy.severity == Severity.MEETS
    # 20 A within 5 s at 20.7 V: 1.035 Ω in all; the loop alone has 1.011 Ω.
    near = only(chain_of(blade(10.0), section_m=26.25, **{**known, field: None}), "protection.disconnection")
    assert near.severity == Severity.MISSING
    assert near.inputs[0].name == f"{asks} of the battery leads"
    hopeless = only(chain_of(blade(10.0), section_m=60.0, **{**known, field: None}), "protection.disconnection")
    assert hopeless.severity == Severity.FAIL
