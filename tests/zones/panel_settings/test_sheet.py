"""The settings sheet: what an engineer sets, in that order (handbook process.md §3 step 8 and §6 row 9)."""

import pytest
from django.urls import reverse
from django.utils.html import escape

from tests import builders
from tests.paper_text import text_of
from zones.models import PanelSetting
from zones.panel_settings.edits import is_stored
from zones.panel_settings.sheet import settings_sheet

pytestmark = pytest.mark.django_db


@pytest.fixture
def hall(town):
    """Ropewalk Hall with one of everything that is set."""
    panel, zone = town.panel, town.zone
    town.group = builders.make_vent_group(zone, number=1, name="all vents")
    town.circuit = builders.make_circuit(
        panel,
        number=2,
        name="Main stair",
        drive="addressed",
        expected_actuators=2,
        run_time_s=75,
        end_place="last_device",
    )
    town.line = builders.make_line(panel, number=3, smoke_zone=zone, end_of_line_ohm="10000", end_place="last_device")
    town.actuator = builders.make_position(
        town.hall, "actuator", tag="M1", smoke_zone=zone, vent_group=town.group, actuator_circuit=town.circuit
    )
    for position in (town.detector, town.call_point):
        position.detection_line = town.line
        position.save()
    builders.make_rule(panel, position=town.call_point, smoke_zone=zone, effect="O", delay_s=5, is_latching=True)
    builders.make_setting(panel, name="Rain closes after", value="30", unit="s", allowed_range="0 to 120")
    return town


def lines_of(town):
    return {line.full_name: line for line in settings_sheet(town.panel).lines}


def test_sections_stand_in_the_order_of_setting(hall):
    hall.zone.lockout_group = "shaft A"
    hall.zone.save()
    names = [name for name, _ in settings_sheet(hall.panel).sections]
    assert names == [
        "Panel",
        "On conditions",
        "Circuit 2 Main stair",
        "Line 3",
        "Input devices",
        "Lock-out groups",
        "Zone 1 Main stair",
    ]


def test_a_stored_figure_stands_with_its_unit(hall):
    line = lines_of(hall)["Run time of circuit 2"]
    assert (line.value, line.unit, line.is_known) == ("75", "s", True)
    assert line.key == f"circuit-{hall.circuit.pk}-run_time_s"
    setting = lines_of(hall)["Rain closes after"]
    assert (setting.value, setting.unit, setting.allowed_range) == ("30", "s", "0 to 120")


def test_what_is_found_at_the_panel_can_be_taken_over_wherever_it_is_a_figure_of_its_own(hall):
    """Handbook process.md §4, panel: the settings that a later visit may find changed."""
    link = builders.make_data_link(hall.panel, number=1)
    builders.make_link_entry(link, place=1)
    builders.make_input_port(hall.panel, number=1, is_monitored=True, function="open", long_press="fully")
    builders.make_circuit(hall.panel, number=4, drive="polarity", current_limit_a=4)
    hall.panel.operation = "sequential"
    stored = {}
    for line in settings_sheet(hall.panel).lines:
        if is_stored(line.key):
            owner, _, field = line.key.split("-", 2)
            stored.setdefault(owner, set()).add(field)
    assert stored == {
        "panel": {
            "settings_revision",
            "operation",
            "gap_s",
            "stagger_s",
            "charger_inhibited",
            "after_reset",
            "access_code_changed",
        },
        "setting": {"value"},
        "circuit": {
            "drive",
            "expected_actuators",
            "found_actuators",
            "current_limit_a",
            "run_time_s",
            "delay_s",
            "sequence_step",
            "monitored_by",
            "end_place",
        },
        "line": {"end_of_line_ohm", "end_place"},
        "link": {"when_broken"},
        "entry": {"serial", "number_given"},
        "input": {"function", "long_press", "short_press", "end_of_line_ohm", "end_place"},
    }


def test_a_missing_figure_is_not_known_and_never_a_default(hall):
    hall.circuit.run_time_s = hall.circuit.delay_s = None
    hall.circuit.save()
    for name in ("Run time of circuit 2", "Delay of circuit 2", "Settings revision"):
        line = lines_of(hall)[name]
        assert (line.value, line.is_known) == ("not known", False), name
        assert line.value_with_unit == "not known"


def test_what_is_not_known_is_named_before_the_sections(as_, hall):
    html = as_("engineer").get(reverse("panel-settings-sheet", args=[hall.panel.pk])).content.decode()
    gaps = html[html.index("<h2>Not known</h2>") : html.index("<h2>Panel</h2>")]
    lines = settings_sheet(hall.panel).lines
    assert all(escape(line.full_name) in gaps for line in lines if not line.is_known)
    assert not any(f">{escape(line.full_name)}<" in gaps for line in lines if line.is_known)


def test_a_choice_is_told_in_its_words_with_the_others_it_could_be(hall):
    line = lines_of(hall)["Drive of circuit 2"]
    assert line.value == "addressed"
    assert line.choices == ("addressed", "polarity")


def test_the_circuit_names_the_groups_and_zones_it_serves(hall):
    assert lines_of(hall)["Vent groups of circuit 2"].value == "Z1.1 all vents"
    assert lines_of(hall)["Smoke zones of circuit 2"].value == "Zone 1 Main stair"


def test_a_polarity_circuit_reports_no_actuators_so_none_are_asked_for(hall):
    assert "Actuators reported of circuit 2" in lines_of(hall)
    hall.circuit.drive = "polarity"
    hall.circuit.save()
    assert "Actuators reported of circuit 2" not in lines_of(hall)


def test_the_function_of_a_device_is_what_its_rules_do(hall):
    assert lines_of(hall)["Function (manual call point) of CP1"].value == "open Zone 1 Main stair after 5 s, latches"
    assert not lines_of(hall)["Function (smoke detector) of SD1"].is_known


def test_a_dependency_stands_with_the_line_and_with_the_devices_of_it(hall):
    assert lines_of(hall)["Dependency of line 3"].value == "none recorded"
    other = builders.make_position(hall.hall, tag="SD2", smoke_zone=hall.zone, detection_line=hall.line)
    both = builders.make_coincidence(hall.panel, [hall.detector, other], name="two of the stair")
    builders.make_rule(hall.panel, cause="coincidence", coincidence=both, smoke_zone=hall.zone, effect="O")
    assert lines_of(hall)["Dependency of line 3"].value == "two of the stair: 2 of SD1, SD2"
    function = lines_of(hall)["Function (smoke detector) of SD1"].value
    assert function == "with others (two of the stair): open Zone 1 Main stair"


def test_a_condition_without_a_rule_is_none_recorded_where_the_cause_and_effect_is_recorded(hall):
    """The matrix says that nothing moves; 'not known' beside it would be another answer."""
    assert lines_of(hall)["Reset"].value == "none recorded"
    hall.panel.rules.all().delete()
    assert not lines_of(hall)["Reset"].is_known


def test_a_rain_sensor_on_no_zone_is_not_a_zone_that_is_not_known(hall):
    builders.make_position(hall.hall, "rain_sensor", tag="RS1", panel=hall.panel)
    assert lines_of(hall)["Zone of RS1"].value == "on no zone"


def test_without_any_rule_the_dependency_is_not_known(town):
    builders.make_line(town.panel, number=3)
    assert not lines_of(town)["Dependency of line 3"].is_known


def test_a_rain_sensor_does_what_the_rules_for_rain_say(hall):
    builders.make_position(hall.hall, "rain_sensor", tag="RS1", panel=hall.panel)
    builders.make_rule(hall.panel, cause="rain", smoke_zone=hall.zone, effect="R")
    assert "close if opened for ventilation" in lines_of(hall)["Function (rain sensor) of RS1"].value


def test_the_panel_says_only_whether_the_default_code_was_changed(hall):
    assert lines_of(hall)["Default access code"].value == "not recorded as changed"
    hall.panel.access_code_changed = True
    assert lines_of(hall)["Default access code"].value == "changed"


def test_a_code_that_an_older_record_holds_is_withheld(hall):
    PanelSetting.objects.bulk_create([PanelSetting(panel=hall.panel, name="Engineer code", value="4711")])
    line = lines_of(hall)["Engineer code"]
    assert "4711" not in line.value and not line.is_known


def test_keys_are_all_different(hall):
    keys = [line.key for line in settings_sheet(hall.panel).lines]
    assert len(set(keys)) == len(keys)


def test_the_page_leads_the_firm_to_each_form_and_a_manager_to_none(hall, as_):
    url = reverse("panel-settings-sheet", args=[hall.panel.pk])
    form_url = reverse("circuit-update", args=[hall.circuit.pk])
    assert form_url in as_("engineer").get(url).content.decode()
    page = as_("manager").get(url).content.decode()
    assert "Run time" in page and form_url not in page


def test_devices_that_are_set_alike_stand_in_one_row_each_with_its_own_way_to_its_form(hall, as_):
    alike = {"smoke_zone": hall.zone, "detection_line": hall.line, "walking_order": hall.detector.walking_order}
    second = builders.make_position(hall.hall, tag="SD2", **alike)
    other = builders.make_position(hall.hall, tag="SD3", detection_line=hall.line)
    rows = as_("engineer").get(reverse("panel-settings-sheet", args=[hall.panel.pk])).content.decode().split("<tr>")
    row_of = {
        one.tag: next(row for row in rows if reverse("position-update", args=[one.pk]) in row)
        for one in (hall.detector, second, other, hall.call_point)
    }
    assert row_of["SD1"] == row_of["SD2"]
    assert len(set(row_of.values())) == 3


def test_panel_and_schedules_pages_lead_to_the_sheet(hall, as_):
    url = reverse("panel-settings-sheet", args=[hall.panel.pk])
    client = as_("manager")
    for page in (reverse("panel-detail", args=[hall.panel.pk]), reverse("schedule-list", args=[hall.hall.slug])):
        assert url in client.get(page).content.decode()


def test_the_paper_holds_every_line_and_a_box_for_each(hall, as_):
    text = text_of(as_("manager").get(reverse("panel-settings-sheet-pdf", args=[hall.panel.pk])).content)
    sheet = settings_sheet(hall.panel)
    assert text.count("☐") == len(sheet.lines)
    assert "Run time 75 s – ☐" in text
    assert "Delay ? not known s – ☐" in text
