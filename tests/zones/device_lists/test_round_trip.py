"""What was exported comes back without a change, whatever people typed into the register."""

import io
import string

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from tests import builders
from tests.zones.device_lists.lists import check, effects
from zones.device_lists.cells import tidy
from zones.device_lists.exporting import device_list_csv, device_list_xlsx
from zones.models import Position, VentGroup

FORMATS = [("list.csv", device_list_csv), ("list.xlsx", device_list_xlsx)]
# Any text but surrogates and NUL, which neither database stores; what a formula begins with comes often.
ANY = st.characters(exclude_categories=["Cs"], exclude_characters="\x00")
STARTS = ["=", "+", "-", "@", "'=", "''+", "\t", "\r", "#N/A", "'", "_x000D_", "sep="]
STARTING = st.tuples(st.sampled_from(STARTS), st.text(ANY, max_size=20)).map("".join)
TEXT = st.one_of(st.text(ANY, max_size=30), STARTING)
WORD = st.text(string.ascii_letters + string.digits + "-_/.=+@'#: äé中", min_size=1, max_size=20).filter(str.strip)


@given(TEXT)
def test_tidying_twice_is_tidying_once(text):
    assert tidy(tidy(text)) == tidy(text)


@pytest.mark.django_db
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_an_export_imported_again_changes_nothing(town, data):
    serial, tag = data.draw(WORD, "serial").strip(), data.draw(WORD, "tag").strip()
    Position.objects.filter(pk=town.call_point.pk).update(tag="CP1")
    if tag.upper() in ("SD1", "P1"):
        tag = "CP1"
    Position.objects.filter(pk=town.call_point.pk).update(
        tag=tag,
        storey=data.draw(TEXT, "storey")[:40],
        room=data.draw(TEXT, "room")[:80],
        place=data.draw(TEXT, "place")[:200],
        access_need=data.draw(TEXT, "access")[:120],
        walking_order=data.draw(st.integers(0, 2_000_000_000)),
        order_on_line=data.draw(st.none() | st.integers(0, 32_767)),
    )
    town.unit.serial, town.unit.batch = serial, data.draw(TEXT, "batch")[:40]
    town.unit.save()
    town.zone.name = data.draw(TEXT, "zone")[:120]
    town.zone.save()
    for name, export in FORMATS:
        run = check(town.hall, export(town.hall), name)
        assert effects(run) == {"unchanged": 3}, (name, run.results)


@pytest.mark.django_db
@pytest.mark.parametrize(("name", "export"), FORMATS)
def test_an_export_into_an_empty_building_makes_the_same_list(town, name, export):
    from zones.device_lists import staging

    town.detector.vent_group = VentGroup.objects.create(smoke_zone=town.zone, number=2)
    town.detector.detection_line = builders.make_line(town.panel, number=4)
    town.detector.place = "=2+3 rooms, 'left'\nof the door"
    town.detector.save()
    town.fitting.delete()  # a unit is in one place: without it the list can go to another building
    other = builders.make_building()
    content = export(town.hall)
    run = check(other, content, name)
    assert effects(run) == {"new": 3}
    staging.apply_run(run=run, by=town.people["office"])
    assert device_list_csv(other) == device_list_csv(town.hall)


@pytest.mark.django_db
def test_a_spreadsheet_takes_no_exported_cell_for_a_formula(town):
    Position.objects.filter(pk=town.detector.pk).update(place='=HYPERLINK("http://x")', room="@SUM(1)", storey="-1+2")
    workbook = load_workbook(io.BytesIO(device_list_xlsx(town.hall)))
    types = {cell.data_type for row in workbook.active.iter_rows() for cell in row}
    assert types <= {"s", "inlineStr", "n"}  # text and numbers
    text = device_list_csv(town.hall).decode("utf-8-sig")
    assert "'=HYPERLINK" in text and "'@SUM(1)" in text and "'-1+2" in text


@pytest.mark.django_db
def test_an_export_leaves_positions_out_that_were_no_longer_used(town):
    Position.objects.filter(pk=town.call_point.pk).update(retired_on="2026-01-01")
    assert "CP1" not in device_list_csv(town.hall).decode("utf-8-sig")
