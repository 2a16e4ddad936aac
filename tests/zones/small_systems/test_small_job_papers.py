"""The small two-zone job on paper: what starts at a call point, hangs on a data link or ends in a box is told there."""

import pytest

from inspections.wiring_schedules import document as wiring_schedules
from tests import builders
from tests.zones.small_systems.small_job_records import make_small_job
from zones.cause_and_effect.edits import add_usual_rules, missing_usual_rules
from zones.cause_and_effect.matrix import matrix_of
from zones.cause_and_effect.records import panel_logic
from zones.cause_and_effect.zone_overview import zone_overview_of
from zones.design_check.checked import checked_panel
from zones.design_check.findings import groups_of
from zones.engineering.cause_and_effect import InputKind, validate
from zones.engineering.drawings.wiring_diagram import draw_canvas
from zones.engineering.findings import Severity
from zones.labels.records import chosen_cables, labels_of_cables, labels_of_devices
from zones.materials.lists import material_list
from zones.models import InputPort, Position, ProductModel
from zones.panel_settings.sheet import settings_sheet
from zones.panels import device_schedule
from zones.panels.contents import other_devices_of
from zones.panels.set_up import steps_of
from zones.positions.identical_units import panel_terminals_of
from zones.wiring.records import wired_panel

pytestmark = pytest.mark.django_db


@pytest.fixture
def job(shared):
    return shared.built(small_job_with_rules)


def small_job_with_rules():
    return make_small_job(rules=True)


def test_schedules(job):
    """One set-up for all: wiring so much takes longer than reading it."""
    ends = [row for part in wiring_schedules.end_of_line_schedule(job.building).parts for row in part.rows]
    assert [row[:4] for row in ends] == [
        ["line 1", "P1", "SD2", "SD2 -X1:3 -X1:4"],
        ["line 201 CP1 detectors", "CP1", "SD1", "SD1 -X1:3 -X1:4"],
        ["line 202 CP2 detectors", "CP2", "none", "CP2 -X3:1 -X3:2"],
        ["input 3 rain: close", "P1", "RS1", "RS1 -X1:3 -X1:4"],
        ["output 1", "P1", "M1", "none needed"],
        ["output 2", "P1", "M2", "JB1 -X1:2 -X1:3 · stub 6 m beyond JB1, not monitored"],
    ]
    runs = {row[0]: row[8] for row in wiring_schedules.cable_schedule(job.building).parts[0].rows}
    assert runs["W1.D1-2"] == "P1 data link 1"
    assert runs["W1.S1-1"] == "P1 inputs 1 and 2"
    assert runs["W1.S203-1"] == "P1 inputs 203 and 204 at CP2"
    assert runs["W1.L201-1"] == "P1 line 201"
    blocks = {part.heading: part for part in wiring_schedules.terminal_schedule(job.panel).parts}
    assert blocks["-XS3"].note == "input 3 rain"
    started = next(row for row in blocks["CP1"].rows if row[0] == "-X3:1")
    assert started[1:6] == ["monitored line + · line 201 starts here", "1", "BN", "W1.L201-1", "SD1 -X1:1"]
    (part,) = device_schedule.parts_of(device_schedule.positions_of(job.building))
    wired = {one.tag: device_schedule.run_words(one) for one in part.positions}
    assert (wired["CP2"], wired["VS1"], wired["RS1"]) == ("data link 1", "inputs 203 and 204 at CP2", "input 3")


def test_a_stub_of_unknown_length_is_said_to_be_not_known(job):
    job.building.cables.filter(tag="W3").update(length_m=None)
    ends = [row for part in wiring_schedules.end_of_line_schedule(job.building).parts for row in part.rows]
    assert ends[-1][3].endswith("stub beyond JB1, length of W3 not known, not monitored")


def test_settings_labels_materials_and_lists(job):
    told = {line.full_name: line.value for line in settings_sheet(job.panel).lines}
    assert told["Number given to entry 2 of data link 1"] == "12"
    assert told["Position of entry 1 of data link 1"] == "CP1, confirmed: serial read on the device"
    assert told["Reaction to a break of data link 1"].startswith("fault shown")
    assert (told["Long press of input 1"], told["Devices of input 203"]) == ("moves all the way", "VS1")
    assert (told["Start of line 201"], told["Devices of line 202"]) == ("CP1", "none")
    needed = {line.what: (line.needed, line.detail) for line in material_list(builders.make_job(job.building)).lines}
    assert needed["end-of-line resistor 10000 Ω"] == (5, "4 lines and inputs, with spares")
    labels = {one.tag: one.lines for one in labels_of_devices(job.building.positions.all())}
    assert {"P1 data link 1", "number 12 at the panel", "-XD1:1…3"} <= {*labels["CP2"]}
    assert {"P1 line 201", "CP1 -X3:1, 2"} <= {*labels["SD1"]}
    assert {"P1 inputs 203 and 204 at CP2", "CP2 -X4:1…3"} <= {*labels["VS1"]}
    of_cables = {one.tag: one.lines[0] for one in labels_of_cables(chosen_cables(job.building, {"panel": job.panel}))}
    assert (of_cables["W1.D1-1"], of_cables["W1.S3-1"]) == ("P1 data link 1", "P1 input 3")
    terminals = panel_terminals_of([job.devices["CP1"], job.devices["SD1"]])
    assert terminals[job.devices["CP1"].pk].endswith("number 11 at the panel")
    assert terminals[job.devices["SD1"].pk] == "CP1 -X3:1, CP1 -X3:2".replace(", CP1", ",")
    assert not {"CP1", "VS1", "VS2", "RS1"} & {one.tag for one in other_devices_of(job.panel)}
    positions = next(step for step in steps_of(job.building, builders.make_person()) if step.title == "Positions")
    assert positions.missing == []


def test_drawings(job):
    sheet = draw_canvas(wired_panel(job.panel))
    row_of = {box.key: round(box.rect.y) for box in sheet.boxes}
    key = {tag: f"d{device.pk}" for tag, device in job.devices.items()}
    assert row_of[key["JB1"]] == row_of[key["M2"]], "the box stands in the run of its cables"
    assert row_of[key["CP1"]] == row_of[key["CP2"]] < row_of[key["SD1"]]
    words = {label.text for label in sheet.labels}
    assert {"Data link 1", "Line 201", "from CP1", "Inputs 203, 204", "Inputs 1, 2", "Input 3", "module"} <= words
    wires = {one.tag: one.wire_words for one in zone_overview_of(job.panel).inputs}
    assert (wires["CP1"], wires["SD1"], wires["VS1"]) == ("data link 1", "line 201, CP1", "inputs 203, 204")


def test_the_logic_knows_call_points_on_a_data_link_its_break_and_devices_at_inputs(job):
    Position.objects.filter(tag__in=("SD1", "VS1", "CP2")).update(smoke_zone=None)
    read = panel_logic(job.panel)
    zones = {one.label: one.zone for one in read.ruleset.inputs}
    first, second = (f"z{zone.pk}" for zone in job.zones)
    assert zones["SD1"] == first, "the zone of the call point's line"
    assert zones["CP2"] == second, "the zone assigned at the panel"
    assert zones["VS1"] == second, "the zone of its inputs"
    link = next(one for one in read.ruleset.inputs if one.kind is InputKind.LINK_FAULT)
    assert (str(link), link.opens) == ("Data link 1", ())
    assert validate(read.ruleset) == ()
    what = {cause.label: cause.what for cause in matrix_of(read).causes}
    assert what["Data link 1"] == "broken: fault shown; what lies behind the break does not release"
    assert what["Line 201 (CP1 detectors)"] == "fault on the line from CP1"
    indicated = job.panel.rules.get(cause="link_fault")
    assert (str(indicated), indicated.output) == ("break of P1 data link 1 → signal", "fault")
    assert missing_usual_rules(read) == []


def test_a_link_whose_break_opens_the_zones_behind_it_has_rules_for_that(job):
    job.link.when_broken = "opens"
    job.link.save()
    added = {(str(rule), rule.smoke_zone) for rule in add_usual_rules(panel=job.panel)}
    assert added == {("break of P1 data link 1 → open", zone) for zone in job.zones}


def design_of(job):
    return {(one.code, one.subject): one for one in checked_panel(job.panel).findings}


def test_the_design_check_judges_a_line_by_the_device_where_it_starts(job):
    """Never by the panel's ranges: those of the data sheet of CP1 are narrower."""
    found = design_of(job)
    own = found["line.normal", "201 CP1 detectors"]
    assert own.severity is Severity.MEETS
    assert "at CP1; the normal range is 9.00 to 11.00 kΩ" in own.sentence
    assert "at the panel; the normal range is 7.50 to 13.00 kΩ" in found["line.normal", "1"].sentence
    unused = found["consistency.line_end", "202 CP2 detectors"]
    assert "at the terminals of CP2" in unused.sentence
    rain = found["line.normal", "3 rain"]
    assert (rain.severity, rain.sentence[:13]) == (Severity.MEETS, "Input 3 rain ")
    stub = found["consistency.circuit_end", "Circuit 2"]
    assert (stub.severity, "stub of 6 m behind it, to M2, is not monitored" in stub.sentence) == (Severity.MEETS, True)
    assert found["link.count", "Data link 1"].severity is Severity.MEETS
    assert "30 m of cable" in found["link.length", "Data link 1"].sentence
    assert found["link.voltage", "Data link 1"].severity is Severity.MISSING, "no figure is guessed"
    listed = {group.heading for group in groups_of(checked_panel(job.panel))}
    assert {"Data link 1", "Input 3 rain", "Line 201 CP1 detectors"} <= listed


def test_what_is_not_known_of_ports_gives_no_verdict_and_what_is_wrong_is_told(job):
    model = job.models["call point"]
    ProductModel.objects.filter(pk=model.pk).update(
        normal_low_ohm=None, alarm_current_a="0.05", minimum_voltage_v="20.2"
    )
    job.link.entries.filter(place=2).delete()
    job.building.cables.filter(tag="W3").update(length_m=None)
    InputPort.objects.filter(number=3).update(end_of_line_ohm=22_000)
    found = design_of(job)
    for subject in ("201 CP1 detectors", "202 CP2 detectors"):
        assert "resistance ranges of CP" in found["line.states", subject].sentence
        assert ("line.normal", subject) not in found
    assert found["link.count", "Data link 1"].severity is Severity.FAIL
    assert "length of W3 not known" in found["consistency.circuit_end", "Circuit 2"].sentence
    assert found["line.normal", "3 rain"].severity is Severity.FAIL
    # 21.0 V (12 cells of 1.75 V, common practice), 0.3 V lost inside; 15 m of 1.5 mm² (12.1 Ω/km, IEC 60228) to each
    # call point: 0.1 A on the first, 0.05 A on the second.
    loop_ohm = 2 * 0.0121 * 15
    volts = 21.0 - 0.3 - 0.1 * loop_ohm - 0.05 * loop_ohm
    assert f"gives CP2 {volts:.1f} V" in found["link.voltage", "Data link 1"].sentence
