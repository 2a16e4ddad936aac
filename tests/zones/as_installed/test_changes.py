"""What changed since an as-installed revision: each difference told once, by its kind."""

import copy
import json

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from tests import builders
from tests.evidence import evidence_lifted
from zones.as_installed.changes import SECTIONS, changes_between
from zones.as_installed.record import record_of
from zones.as_installed.revisions import changes_since, take_revision
from zones.models import CoreEnd, EndOfLinePart, TerminalLink
from zones.models.as_installed import FrozenRevision
from zones.units.fittings import swap
from zones.wiring.terminals import put_ends


@pytest.fixture
def revision(town):
    return take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")


def put_another_unit_in(position):
    unit = builders.make_unit(serial="AK-0002")
    swap(position=position, new_unit=unit, swapped_on=timezone.localdate(), reason="faulty")


def told(revision):
    return [(str(change.kind), change.name) for change in changes_since(revision)]


def test_nothing_changed_is_no_change(revision):
    assert changes_since(revision) == []


def test_a_device_put_in_afterwards_is_added(town, revision):
    builders.make_position(town.hall, tag="SD9")
    assert told(revision) == [("added", "SD9")]


def test_a_device_no_longer_used_is_told_with_what_it_was(town, revision):
    town.detector.retired_on = builders.days_ago(1).date()
    town.detector.save()
    (change,) = changes_since(revision)
    assert (change.kind, change.name) == ("no longer used", "SD1")
    assert ("serial", "AK-0001", None) in change.fields


def test_a_device_of_another_zone_has_moved(town, revision):
    town.detector.smoke_zone = builders.make_zone(town.hall, panel=town.panel, number=2, name="Roof stair")
    town.detector.save()
    assert ("moved", "SD1") in told(revision)


def test_a_unit_in_place_of_another_is_a_swap(town, revision):
    put_another_unit_in(town.detector)
    (change,) = [change for change in changes_since(revision) if change.kind == "swapped"]
    assert ("serial", "AK-0001", "AK-0002") in change.fields


def test_moved_and_swapped_is_told_as_both(town, revision):
    town.detector.room = "Stair 2"
    town.detector.save()
    put_another_unit_in(town.detector)
    assert told(revision) == [("moved", "SD1"), ("swapped", "SD1")]


def test_a_core_on_another_terminal_is_rewired(town):
    core = builders.make_core(builders.make_cable(town.hall, tag="W1"), number=1)
    first, second = (builders.make_terminal(panel=town.panel, number=number) for number in ("1", "2"))
    CoreEnd.objects.create(core=core, end="near", terminal=first)
    revision = take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")
    put_ends(core=core, near=second)
    (change,) = changes_since(revision)
    assert change.kind == "rewired"
    assert change.fields == (("near end", f"P1 {first}", f"P1 {second}"),)


def test_a_run_led_into_another_box_is_rewired(town):
    boxes = [builders.make_position(town.hall, "junction_box", tag=tag) for tag in ("JB1", "JB2")]
    line = builders.make_line(town.panel, number=61)
    cable = builders.make_cable(town.hall, tag="W61", detection_line=line, far_box=boxes[0])
    revision = take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")
    cable.far_box, cable.conductor_class = boxes[1], "5"
    cable.save()
    (change,) = changes_since(revision)
    assert (change.kind, change.name) == ("rewired", "W61")
    assert set(change.fields) == {("ends in box", "JB1", "JB2"), ("class (IEC 60228)", None, "5 flexible")}


def test_what_an_earlier_record_did_not_read_is_no_change():
    before = {"cables": {"1": {"name": "W1", "route": "shaft"}}}
    read_since = {"cables": {"1": {"name": "W1", "route": "shaft", "ends in box": "JB1"}}}
    assert changes_between(before, read_since) == []
    moved = {"cables": {"1": {"name": "W1", "route": "roof", "ends in box": "JB1"}}}
    assert [change.fields for change in changes_between(before, moved)] == [(("route", "shaft", "roof"),)]


def test_an_end_of_line_part_of_another_value_is_rewired(town):
    first, second = (builders.make_terminal(panel=town.panel, number=number) for number in ("1", "2"))
    element = EndOfLinePart.objects.create(first=first, second=second, value_ohm=10_000)
    revision = take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")
    element.value_ohm = 4_700
    element.save()
    (change,) = changes_since(revision)
    assert change.kind == "rewired"
    assert ("value (Ω)", "10000", "4700") in change.fields


def test_a_terminal_of_another_pole_is_rewired(town):
    terminal = builders.make_terminal(panel=town.panel, number="7", pole="+")
    revision = take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")
    terminal.pole = "-"
    terminal.save()
    (change,) = changes_since(revision)
    assert (change.kind, change.section) == ("rewired", "terminals")
    assert [label for label, _, _ in change.fields] == ["pole"]


def test_a_link_put_in_afterwards_is_told(town):
    first, second = (builders.make_terminal(panel=town.panel, number=number) for number in ("1", "2"))
    revision = take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")
    TerminalLink.objects.create(first=first, second=second)
    (change,) = changes_since(revision)
    assert (change.kind, change.section) == ("added", "links")


def test_a_setting_of_another_value_is_set_otherwise(town):
    setting = builders.make_setting(town.panel, name="Run time", value="60", unit="s")
    revision = take_revision(building=town.hall, taken_by=town.people["office"], reason="Checked on site.")
    setting.value = "75"
    setting.save()
    (change,) = changes_since(revision)
    assert (change.kind, change.fields) == ("set otherwise", (("value", "60 s", "75 s"),))


def test_a_corrected_tag_is_a_change_of_the_same_device(town, revision):
    town.detector.tag = "SD-01"
    town.detector.save()
    (change,) = changes_since(revision)
    assert (change.kind, change.fields) == ("changed", (("name", "SD1", "SD-01"),))


def test_revisions_of_a_building_are_numbered_without_gaps(town, revision):
    further = take_revision(building=town.hall, taken_by=town.people["office"], reason="Again.")
    elsewhere = take_revision(building=town.mill, taken_by=town.people["office"], reason="First.")
    assert (revision.number, further.number, elsewhere.number) == (1, 2, 1)


def test_a_revision_is_frozen(revision):
    revision.reason = "another"
    with pytest.raises(FrozenRevision):
        revision.save()
    with pytest.raises(FrozenRevision):
        revision.delete()
    with pytest.raises(FrozenRevision):
        type(revision).objects.update(reason="another")


def test_a_revision_altered_behind_the_register_shows(town, revision):
    assert revision.is_unaltered
    record = copy.deepcopy(revision.record)
    record["positions"][str(town.detector.pk)]["serial"] = "AK-9999"
    with evidence_lifted(), connection.cursor() as cursor:
        cursor.execute(
            "UPDATE zones_asinstalledrevision SET record = %s WHERE id = %s", [json.dumps(record), revision.pk]
        )
    revision.refresh_from_db()
    assert not revision.is_unaltered


def test_the_record_costs_the_same_for_few_devices_and_for_many(town):
    def cost():
        with CaptureQueriesContext(connection) as queries:
            record_of(town.hall)
        return len(queries)

    # Core ends are asked for only when there is a core, so one stands here from the start.
    builders.make_core(builders.make_cable(town.hall), number=1)
    CoreEnd.objects.create(
        core=builders.make_core(builders.make_cable(town.hall), number=1),
        end="near",
        terminal=builders.make_terminal(panel=town.panel, number="90"),
    )
    CoreEnd.objects.create(
        core=builders.make_core(builders.make_cable(town.hall), number=1),
        end="far",
        terminal=builders.make_terminal(position=town.detector, number="90"),
    )
    few = cost()
    for number in range(20):
        builders.fit(builders.make_position(town.hall, tag=f"SD{number + 50}"))
        core = builders.make_core(builders.make_cable(town.hall), number=1)
        CoreEnd.objects.create(
            core=core, end="near", terminal=builders.make_terminal(panel=town.panel, number=f"{number + 100}")
        )
    assert cost() == few


def test_what_an_older_revision_did_not_hold_is_no_change(revision):
    older = {section: rows for section, rows in revision.record.items() if section != "positions"}
    assert changes_between(older, revision.record) == []


ROWS = st.dictionaries(
    st.sampled_from("abcd"),
    st.fixed_dictionaries({"name": st.sampled_from("xy"), "zone": st.sampled_from(["1", "2", None])}),
)


@given(before=ROWS, after=ROWS)
def test_every_difference_is_told_once_and_nothing_else(before, after):
    changes = changes_between({"positions": before}, {"positions": after})
    touched = {key for key in {**before, **after} if before.get(key) != after.get(key)}
    assert {change.key for change in changes} == touched
    fields = [(change.key, label) for change in changes for label, _, _ in change.fields]
    assert len(fields) == len(set(fields))


@given(before=ROWS, after=ROWS)
def test_applying_the_changes_gives_the_later_record(before, after):
    rebuilt = {key: dict(row) for key, row in before.items()}
    for change in changes_between({"positions": before}, {"positions": after}):
        if change.kind == "no longer used":
            del rebuilt[change.key]
        elif change.kind == "added":
            rebuilt[change.key] = {"name": change.name, "zone": None, **{label: now for label, _, now in change.fields}}
        else:
            rebuilt[change.key].update({label: now for label, _, now in change.fields})
    assert rebuilt == after


def test_every_section_of_the_record_has_its_word(revision):
    assert set(revision.record) - {"version"} == set(SECTIONS)


def test_what_nobody_named_is_called_by_its_number(as_, town, revision):
    builders.make_circuit(town.panel, number=9)
    page = as_("office").get(f"/buildings/{town.hall.slug}/as-installed/changes/").content.decode()
    assert "actuator circuit" in page and str(town.panel.actuator_circuits.get(number=9)) in page


def test_a_revision_of_before_things_were_called_shows_no_change_of_name(town, revision):
    before = {"circuits": {"1": {"name": None, "drive": None}}}
    after = {"circuits": {"1": {"called": "circuit 1", "name": None, "drive": None}}}
    assert changes_between(before, after) == []
    assert [change.name for change in changes_between(before, {"circuits": {}})] == ["without a name"]
