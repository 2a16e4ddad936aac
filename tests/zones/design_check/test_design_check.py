"""Records become engineering's plain data, unchanged and nothing assumed; the findings follow the records."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from sites_registry.models import Building
from tests import builders
from tests.zones.installations import make_installation, make_models, set_figure
from zones.design_check.checked import checked_building, checked_panel, checked_portfolio, counts_of
from zones.engineering import AreaKind, CircuitKind, Conductor, LoadModel, Severity, VentKind
from zones.models import Cable, DeviceKind, PracticeValue

pytestmark = pytest.mark.django_db


@pytest.fixture
def today(monkeypatch):
    """2 March 2026: the battery of the installation is seven weeks old."""
    monkeypatch.setattr(timezone, "localdate", lambda: date(2026, 3, 2))


@pytest.fixture
def made(today, shared):
    return shared.built(make_installation)


def found(findings, code, severity=None):
    return [one for one in findings if one.code == code and (severity is None or one.severity == severity)]


def test_a_complete_installation_meets_everything_that_is_entered(made):
    findings = checked_building(made.building).all_findings
    wrong = [one.sentence for one in findings if one.severity not in (Severity.MEETS, Severity.NOTE)]
    assert not wrong
    assert {one.code.split(".")[0] for one in findings} == {
        "cable",
        "protection",
        "supply",
        "battery",
        "line",
        "time",
        "area",
        "air",
        "force",
        "consistency",
    }


def test_the_records_arrive_as_they_are(made):
    design = checked_panel(made.panel).design
    (circuit,), (line,), (zone,) = design.circuits, design.lines, design.zones
    assert (circuit.name, circuit.kind, circuit.output_limit_a, circuit.run_time_s) == (
        "Circuit 1",
        CircuitKind.POLARITY,
        5,
        90,
    )
    assert [(run.name, run.length_m, run.conductor, run.fed_from) for run in circuit.runs] == [
        ("P1W1.1", 10, Conductor(2.5, 2), None),
        ("P1W1.2", 10, Conductor(2.5, 2), "P1W1.1"),
    ]
    drive = circuit.actuators[1]
    assert (drive.name, drive.at, drive.vent) == ("P1M1.2", "P1W1.2", "V1.2")
    assert (drive.rated_current_a, drive.starting_current_a, drive.minimum_voltage_v) == (1, 1.2, 18)
    assert (drive.stroke_mm, drive.speed_mm_per_s, drive.load_model) == (500, 10, LoadModel.CONSTANT_CURRENT)
    assert circuit.end_of_line_at == ("P1M1.2",)
    assert [(device.name, device.length_m, device.alarm_ohm) for device in line.devices] == [
        ("P1D1.1", 10, 680),
        ("P1D1.2", 10, 680),
        ("P1D1.3", 10, 680),
    ]
    assert [device.removal_opens_line for device in line.devices] == [None, True, True]
    assert (line.elements[0].at, line.elements[0].resistance_ohm, line.elements[0].tolerance) == (
        "P1D1.3",
        10_000,
        0.01,
    )
    assert (zone.name, zone.required_area_m2, zone.area_kind, zone.needs_detection) == (
        "1 Stair",
        1.8,
        AreaKind.GEOMETRIC,
        True,
    )
    vent = design.vents[0]
    assert (vent.kind, vent.width_m, vent.height_m, vent.stroke_mm) == (VentKind.TOP_HUNG, 1.2, 1.0, 500)
    assert vent.reveal_m == 0  # stated, which is not the same as not known
    assert (design.supply.rated_current_a, design.supply.own_drop_v, design.supply.charger_inhibited) == (10, 0.3, True)
    assert design.supply.quiescent_current_a == pytest.approx(0.1001)  # the panel's, and two detectors
    battery = design.battery
    assert (battery.capacity_ah, battery.greatest_current_a, battery.fuse_a, battery.operations) == (17, 170, 20, 2)
    assert (battery.coldest_c, battery.usual_c, battery.design_life_years) == (15, 20, 10)
    assert {unit.tag for unit in design.units} == {"P1M1.1", "P1M1.2", "P1D1.1", "P1D1.2", "P1D1.3"}


def test_what_nobody_entered_stays_not_known(today):
    panel = builders.make_panel(tag="P9")
    circuit = builders.make_circuit(panel, number=1)
    builders.make_position(panel.building, "actuator", tag="M1", actuator_circuit=circuit, panel=panel)
    line = builders.make_line(panel, number=1, end_place="last_device")
    builders.make_position(panel.building, tag="SD1", detection_line=line, panel=panel)
    zone = builders.make_zone(panel=panel, number=1)
    builders.make_vent(zone, tag="V1")
    design = checked_panel(panel).design
    drive, device, vent = design.circuits[0].actuators[0], design.lines[0].devices[0], design.vents[0]
    for thing, fields in (
        (
            design.supply,
            ("rated_current_a", "output_voltage_v", "own_drop_v", "quiescent_current_a", "charger_inhibited"),
        ),
        (design.circuits[0], ("output_limit_a", "run_time_s", "fire_minutes", "end_of_line_at")),
        (drive, ("at", "rated_current_a", "starting_current_a", "minimum_voltage_v", "stroke_mm", "speed_mm_per_s")),
        (device, ("length_m", "conductor", "alarm_ohm", "quiescent_current_a", "removal_opens_line")),
        (vent, ("kind", "width_m", "stroke_mm", "reveal_m", "declared_aerodynamic_m2")),
        (design.zones[0], ("required_area_m2", "area_kind")),
        (design.lines[0].elements[0], ("resistance_ohm", "tolerance")),
    ):
        assert {field: getattr(thing, field) for field in fields} == dict.fromkeys(fields)
    assert design.battery is None
    findings = checked_panel(panel).findings
    # Counts of what is there can be known; no figure that is not entered passes anything.
    assert {one.code for one in findings if one.severity == Severity.MEETS} <= {
        "consistency.line_end",
        "consistency.zone_numbers",
        "consistency.group_numbers",
    }


@pytest.mark.parametrize(
    ("kind", "field", "code"),
    [
        (DeviceKind.ACTUATOR, "rated_current_a", "cable.voltage"),
        (DeviceKind.ACTUATOR, "minimum_voltage_v", "cable.voltage"),
        (DeviceKind.ACTUATOR, "speed_mm_s", "time.opening"),
        (DeviceKind.CONTROL_PANEL, "own_voltage_drop_v", "cable.voltage"),
        (DeviceKind.CONTROL_PANEL, "supply_limit_a", "supply.panel"),
        (DeviceKind.CONTROL_PANEL, "charger_inhibited", "supply.panel"),
        (DeviceKind.CONTROL_PANEL, "output_limit_a", "supply.output"),
        (DeviceKind.CONTROL_PANEL, "battery_fuse_a", "battery.current"),
        (DeviceKind.CONTROL_PANEL, "line_voltage_v", "line.states"),
        (DeviceKind.SMOKE_DETECTOR, "standby_current_a", "supply.quiescent"),
        (DeviceKind.SMOKE_DETECTOR, "alarm_resistance_ohm", "line.states"),
        (DeviceKind.SMOKE_DETECTOR, "removal_opens_line", "line.states"),
        (DeviceKind.BATTERY, "capacity_ah", "battery.capacity"),
        (DeviceKind.BATTERY, "discharge_limit_a", "battery.current"),
        (DeviceKind.BATTERY, "service_life_years", "battery.age"),
    ],
)
def test_a_figure_taken_away_leaves_its_check_without_a_verdict(made, kind, field, code):
    set_figure(made.models[kind], **{field: None})
    findings = checked_panel(made.panel).findings
    assert found(findings, code, Severity.MISSING)
    if code != "battery.current":  # two limits: the other one is still judged
        assert not found(findings, code, Severity.MEETS)


def test_without_a_design_basis_the_battery_has_no_verdict(today):
    made = make_installation(basis=False)
    said = [one.sentence for one in found(checked_panel(made.panel).findings, "battery.capacity")]
    assert any("basis and edition of the standby period not known" in sentence for sentence in said)


def test_findings_follow_an_edit(made):
    assert found(checked_panel(made.panel).findings, "cable.voltage", Severity.MEETS)
    Cable.objects.filter(tag__startswith="P1W").update(length_m=300)
    (finding,) = found(checked_panel(made.panel).findings, "cable.voltage")
    assert finding.severity == Severity.FAIL
    assert "below its minimum of 18 V" in finding.sentence


def test_the_figure_of_the_panel_goes_before_that_of_its_model(made):
    made.panel.supply_limit_a, made.panel.quiescent_current_a = 3, "0.4"
    made.panel.save()
    supply = checked_panel(made.panel).design.supply
    assert (supply.rated_current_a, supply.quiescent_current_a) == (3, 0.4)


def test_the_unit_that_is_fitted_counts_before_the_model_that_was_planned(made):
    other = make_models()[DeviceKind.ACTUATOR]
    set_figure(other, rated_current_a=3)
    position = made.circuits[0].positions.get(tag="P1M1.1")
    position.product_model = other
    position.save()
    assert checked_panel(made.panel).design.circuits[0].actuators[0].rated_current_a == 1
    position.fittings.update(removed_on=date(2026, 2, 1))
    assert checked_panel(made.panel).design.circuits[0].actuators[0].rated_current_a == 3


def test_a_position_no_longer_used_is_in_no_check(made):
    made.circuits[0].positions.filter(tag="P1M1.2").update(retired_on=date(2026, 2, 1))
    assert [one.name for one in checked_panel(made.panel).design.circuits[0].actuators] == ["P1M1.1"]


def test_junction_boxes_before_a_device_of_a_line_count_with_their_length_and_thinnest_section(made):
    device_run = Cable.objects.get(tag="P1L1.2")
    box = builders.make_cable(
        made.building,
        tag="BOX",
        detection_line=made.lines[0],
        upstream=device_run.upstream,
        length_m=7,
        area_mm2="0.5",
        conductor_class="1",
    )
    Cable.objects.filter(pk=device_run.pk).update(upstream=box)
    device = checked_panel(made.panel).design.lines[0].devices[1]
    assert (device.length_m, device.conductor) == (17, Conductor(0.5, 1))


def test_a_line_that_branches_is_questioned(made):
    first = Cable.objects.get(tag="P1L1.1")
    Cable.objects.filter(tag="P1L1.3").update(upstream=first)
    (finding,) = found(checked_panel(made.panel).findings, "line.branch")
    assert "P1L1.2 and P1L1.3 go on from the same cable" in finding.sentence


def test_a_stored_figure_that_cannot_be_computed_with_is_told_and_passes_nothing(made):
    Cable.objects.filter(tag="P1W1.2").update(length_m=99_000)
    findings = checked_panel(made.panel).findings
    (refused,) = found(findings, "figure.refused")
    assert "P1W1.2: length: 99000 is not possible" in refused.sentence
    assert not found(findings, "cable.voltage", Severity.MEETS)


def test_four_blocks_of_twelve_volts_are_two_strings(made):
    made.panel.battery_sets.update(blocks=4)
    battery = checked_panel(made.panel).design.battery
    assert (battery.capacity_ah, battery.greatest_current_a) == (34, 340)


def test_an_actuator_of_another_drive_than_its_circuit_fails(made):
    circuit = made.circuits[0]
    circuit.drive = "addressed"
    circuit.save()
    (finding,) = found(checked_panel(made.panel).findings, "consistency.drive", Severity.FAIL)
    assert "drives by addressed" in finding.sentence
    assert "are polarity by the data sheet" in finding.sentence


def test_blocks_that_cannot_give_the_voltage_of_the_panel_fail(made):
    made.panel.battery_sets.update(blocks=3)
    (finding,) = found(checked_panel(made.panel).findings, "consistency.battery_blocks")
    assert "3 blocks of 12 V cannot give its 24 V" in finding.sentence


def test_an_element_that_nobody_recorded_gives_no_verdict(made):
    made.lines[0].end_place = ""
    made.lines[0].save()
    (finding,) = found(checked_panel(made.panel).findings, "consistency.line_end")
    assert finding.severity == Severity.MISSING


def test_the_opening_limit_of_the_building_goes_before_common_practice(made):
    made.building.design_basis.opening_limit_s = 45
    made.building.design_basis.save()
    (finding,) = found(checked_panel(made.panel).findings, "time.opening")
    assert finding.severity == Severity.FAIL
    assert "limit of 45 s" in finding.sentence


def test_the_firms_own_practice_is_used(made):
    PracticeValue.objects.create(name="run_time_allowance", value="2")
    (finding,) = found(checked_panel(made.panel).findings, "time.run_time")
    assert finding.severity == Severity.QUESTION


def test_hot_lengths_are_checked_for_the_minutes_of_the_design_basis(made):
    Cable.objects.filter(tag__startswith="P1W1.").update(hot_length_m=0)
    Cable.objects.filter(tag="P1W1.1").update(hot_length_m=5)
    (finding,) = found(checked_panel(made.panel).findings, "cable.voltage_fire")
    assert (finding.severity, finding.inputs[0].name) == (Severity.MISSING, "minutes in the fire")
    made.building.design_basis.fire_minutes = 30
    made.building.design_basis.save()
    (finding,) = found(checked_panel(made.panel).findings, "cable.voltage_fire")
    assert finding.severity == Severity.MEETS


def test_zones_and_actuators_that_hang_on_nothing_are_told_for_the_building(made):
    builders.make_zone(made.building, number=2, name="Attic")
    builders.make_position(made.building, "actuator", tag="M99", panel=made.panel)
    said = " ".join(
        one.sentence for one in checked_building(made.building).all_findings if one.severity == Severity.MISSING
    )
    assert "panel of zone 2 Attic not known" in said
    assert "circuit of M99 not known" in said


def test_a_building_without_a_panel_has_no_verdict():
    findings = checked_building(builders.make_building()).all_findings
    assert [(one.code, one.severity) for one in findings] == [("consistency.panel", Severity.MISSING)]


def test_another_panels_records_stay_out(made):
    other = make_installation(made.building, models=made.models, tag="P2")
    assert {one.name for one in checked_panel(other.panel).design.circuits[0].actuators} == {"P2M1.1", "P2M1.2"}
    assert len(checked_panel(made.panel).design.zones) == 1


def test_two_vents_of_one_tag_in_different_zones_are_not_mixed_up(made):
    other = builders.make_zone(made.building, made.panel, number=2)
    builders.make_vent(other, tag="V1.1")
    assert {vent.name for vent in checked_panel(made.panel).design.vents} == {
        "V1.1 of zone 1",
        "V1.1 of zone 2",
        "V1.2",
    }


def test_a_vent_group_is_called_as_on_its_page(made):
    assert [one.name for one in checked_panel(made.panel).design.groups] == ["Z1.1"]


def test_a_panel_costs_the_same_queries_for_one_circuit_and_for_six(today):
    few, many = make_installation(), make_installation(circuits=6, actuators=4)
    counts = []
    for made in (few, many):
        with CaptureQueriesContext(connection) as queries:
            checked_panel(made.panel)
        counts.append(len(queries))
    assert counts[0] == counts[1] <= 14


def test_a_building_costs_the_same_queries_for_one_panel_and_for_four(today):
    few, many = make_installation(), make_installation()
    for number in range(2, 5):
        make_installation(many.building, models=many.models, tag=f"P{number}")
    counts = []
    for made in (few, many):
        with CaptureQueriesContext(connection) as queries:
            checked_building(made.building)
        counts.append(len(queries))
    assert counts[0] == counts[1] <= 14


def test_the_portfolio_says_of_each_building_what_the_building_says_alone(today):
    for _ in range(2):
        make_installation()
    for checked in checked_portfolio(Building.objects.all()):
        alone = checked_building(checked.building).all_findings
        assert [one.sentence for one in checked.all_findings] == [one.sentence for one in alone]
        assert sum(counts_of(alone).values()) == len(alone)


def test_the_ranges_of_the_panels_data_sheet_go_before_common_practice(made):
    assert found(checked_panel(made.panel).findings, "line.normal", Severity.MEETS)
    set_figure(made.models[DeviceKind.CONTROL_PANEL], normal_high_ohm=9_000)
    (finding,) = found(checked_panel(made.panel).findings, "line.normal")
    assert finding.severity == Severity.FAIL
    assert "normal range of 7.50 to 9.00 kΩ" in finding.sentence


def test_ranges_that_do_not_rise_are_told(made):
    set_figure(made.models[DeviceKind.CONTROL_PANEL], normal_high_ohm=50)
    assert (
        "rising: short, alarm, normal, open" in found(checked_panel(made.panel).findings, "figure.refused")[0].sentence
    )


def test_a_vent_that_two_panels_move_is_compared_over_both(made):
    other = make_installation(made.building, models=make_models(), tag="P9")
    vent = made.building.positions.filter(vent__isnull=False).first().vent
    position = other.panel.actuator_circuits.first().positions.first()
    assert not [one for one in checked_building(made.building).findings if one.code == "time.in_step"]
    position.vent = vent
    position.save()
    other.panel.actuator_circuits.update(delay_s=20)
    (finding,) = (one for one in checked_building(made.building).findings if one.code == "time.in_step")
    assert finding.severity == Severity.FAIL
    assert position.tag in finding.sentence


def test_a_building_that_is_designed_by_a_superseded_edition_is_told_so_as_a_note(made):
    basis = made.building.design_basis
    basis.standby_basis = "bs-5839-1-2017"
    basis.save()
    (told,) = found(checked_building(made.building).findings, "edition.superseded", Severity.NOTE)
    assert "BS 5839-1:2017, named in the design basis, is superseded by the 2025 edition" in told.sentence
    basis.standby_basis = "bs-5839-1-2025"
    basis.save()
    assert not found(checked_building(Building.objects.get(pk=made.building.pk)).findings, "edition.superseded")
