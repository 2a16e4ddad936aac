"""The material list of a job: computed from positions and wiring, against what arrived."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.paper_text import text_of
from zones.as_installed.revisions import take_revision
from zones.materials.lists import NOT_FITTED, material_list
from zones.models import EndOfLinePart, MaterialArrival


def today():
    return timezone.localdate()


@pytest.fixture
def hall(town):
    """Two planned detectors of one model, 30 m and 20.5 m of one cable, two lines of 10 kΩ."""
    town.job.label_language = "English"
    town.job.save()
    model = builders.make_product_model(name="OD 2")
    for tag in ("SD2", "SD3"):
        builders.make_position(town.hall, tag=tag, product_model=model, panel=town.panel)
    for tag, length_m in (("W1", "30"), ("W2", "20.5")):
        builders.make_cable(
            town.hall, tag=tag, cable_type="fire resisting", cores_count=3, area_mm2="1.5", length_m=length_m
        )
    for _ in range(2):
        builders.make_line(town.panel, end_of_line_ohm=10_000)
    return town


def needed(material):
    return {line.what: line.needed for line in material.lines}


def test_devices_are_counted_by_their_planned_model(hall):
    assert needed(material_list(hall.job))["Tarn Works OD 2"] == 2


def test_cable_is_the_sum_of_lengths_with_the_allowance_rounded_up(hall):
    """50.5 m and 10 % (common practice, no source) are 55.55 m: 56 m."""
    assert needed(material_list(hall.job))["fire resisting 3 × 1.5 mm²"] == 56


def test_every_cable_has_two_glands(hall):
    assert needed(material_list(hall.job))["gland for fire resisting 3 × 1.5 mm²"] == 4


def test_end_of_line_parts_are_counted_with_a_spare(hall):
    assert needed(material_list(hall.job))["end-of-line resistor 10000 Ω"] == 3


def test_a_line_without_a_value_takes_that_of_the_element_in_its_wiring(hall):
    line = builders.make_line(hall.panel, number=71)
    ends = [builders.make_terminal(panel=hall.panel, number=n, detection_line=line) for n in ("71", "72")]
    EndOfLinePart.objects.create(first=ends[0], second=ends[1], value_ohm=4700)
    material = material_list(hall.job)
    assert needed(material)["end-of-line resistor 4700 Ω"] == 2  # one and a spare
    assert not any("line 71" in told for told in material.not_counted)


def test_a_line_and_its_wiring_that_disagree_on_the_element_are_told(hall):
    line = builders.make_line(hall.panel, number=71, end_of_line_ohm=10_000)
    ends = [builders.make_terminal(panel=hall.panel, number=n, detection_line=line) for n in ("71", "72")]
    element = EndOfLinePart.objects.create(first=ends[0], second=ends[1], value_ohm=4700)
    material = material_list(hall.job)
    assert any("asks for 10000 Ω, its wiring shows 4700 Ω" in told for told in material.not_counted)
    assert needed(material)["end-of-line resistor 10000 Ω"] == 4  # three lines and a spare
    element.value_ohm = 10_000
    element.save()
    assert not any("its wiring shows" in told for told in material_list(hall.job).not_counted)


def test_an_element_across_an_output_is_brought_too(hall):
    ends = [builders.make_terminal(panel=hall.panel, number=n) for n in ("81", "82")]
    EndOfLinePart.objects.create(first=ends[0], second=ends[1], kind="module")
    line = next(line for line in material_list(hall.job).lines if line.what == "end-of-line module")
    assert (line.needed, line.detail) == (2, "1 output, with spares")


def test_alarm_resistors_are_counted_where_the_model_states_one(hall):
    line = hall.panel.detection_lines.first()
    stated = builders.make_product_model(name="OD 3", alarm_resistance_ohm=1000)
    for number in range(3):
        builders.make_position(hall.hall, tag=f"SD{number + 60}", product_model=stated, detection_line=line)
    assert needed(material_list(hall.job))["alarm resistor 1000 Ω"] == 4  # three and a spare
    stated.alarm_resistance_ohm = None
    stated.save()
    assert not any(what.startswith("alarm resistor") for what in needed(material_list(hall.job)))


def test_labels_are_in_the_language_of_the_job(hall):
    lines = needed(material_list(hall.job))
    assert lines["device label, English"] == hall.hall.positions.count()
    assert lines["cable label"] == 4


@pytest.mark.parametrize(
    ("make", "sentence"),
    [
        (lambda hall: builders.make_position(hall.hall, "actuator"), "1 × actuator: no model is planned."),
        (
            lambda hall: builders.make_cable(hall.hall, tag="W9", cores_count=3, area_mm2="1.5"),
            "Cable W9: length not known.",
        ),
        (lambda hall: builders.make_cable(hall.hall, tag="W9", length_m=4), "Cable W9: cores or size not known."),
        (
            lambda hall: builders.make_line(hall.panel, number=77),
            "line 77: value of the end-of-line resistor not known",
        ),
    ],
)
def test_what_is_not_known_is_told_and_not_counted(hall, make, sentence):
    before = needed(material_list(hall.job))
    make(hall)
    after = material_list(hall.job)
    assert any(sentence in told for told in after.not_counted)
    changed = {what for what, count in needed(after).items() if before.get(what) != count}
    assert changed <= {
        "device label, English",
        "cable label",
        "gland for cable 3 × 1.5 mm²",
        "gland for fire resisting 3 × 1.5 mm²",
    }


def test_only_devices_without_a_unit_are_asked_for_when_wanted(hall):
    builders.fit(hall.hall.positions.get(tag="SD2"))
    assert needed(material_list(hall.job, scope=NOT_FITTED))["Tarn Works OD 2"] == 1


def test_an_extension_asks_for_what_was_added_since_a_revision(hall):
    revision = take_revision(building=hall.hall, taken_by=hall.people["office"], reason="Before the extension.")
    assert material_list(hall.job, since=revision).lines == []
    builders.make_cable(hall.hall, tag="W3", cable_type="fire resisting", cores_count=3, area_mm2="1.5", length_m=10)
    assert needed(material_list(hall.job, since=revision))["fire resisting 3 × 1.5 mm²"] == 11


def post(as_, hall, entries, **data):
    """Record quantities by what the line is called."""
    material = material_list(hall.job)
    fields = {f"key-{number}": line.key for number, line in enumerate(material.lines)}
    numbers = {line.what: number for number, line in enumerate(material.lines)}
    fields |= {f"line-{numbers[what]}": quantity for what, quantity in entries.items()}
    return as_("office").post(
        reverse("job-materials", args=[hall.job.number]), {"arrived_on": f"{today()}", **fields, **data}
    )


def test_what_came_is_set_against_what_is_needed(as_, hall):
    assert post(as_, hall, {"Tarn Works OD 2": 1, "cable label": 10}).status_code == 302
    material = {line.what: line for line in material_list(hall.job).lines}
    assert (material["Tarn Works OD 2"].arrived, material["Tarn Works OD 2"].short) == (1, 1)
    assert material["cable label"].over == 6


def test_a_correction_takes_back_and_says_why(as_, hall):
    post(as_, hall, {"Tarn Works OD 2": 2})
    assert post(as_, hall, {"Tarn Works OD 2": -1}, note="one broken").status_code == 302
    assert {line.what: line.arrived for line in material_list(hall.job).lines}["Tarn Works OD 2"] == 1


@pytest.mark.parametrize(
    ("entries", "data", "sentence"),
    [
        ({}, {}, "Nothing is entered."),
        ({"Tarn Works OD 2": -1}, {"note": "back"}, "0 came so far, so 1 cannot be taken back"),
        ({"Tarn Works OD 2": -1}, {}, "Say why a quantity is taken back."),
        ({"Tarn Works OD 2": "many"}, {}, "Enter a whole number"),
        ({"Tarn Works OD 2": 1}, {"key-0": "model:999"}, "The list has changed since this page was opened."),
    ],
)
def test_what_cannot_have_come_is_told_and_nothing_is_recorded(as_, hall, entries, data, sentence):
    response = post(as_, hall, entries, **data)
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert not MaterialArrival.objects.exists()


def test_what_comes_tomorrow_has_not_come(as_, hall):
    response = post(as_, hall, {"Tarn Works OD 2": 1}, arrived_on=f"{today() + timedelta(days=1)}")
    assert "is still to come" in response.content.decode()
    assert not MaterialArrival.objects.exists()


def test_a_second_click_records_once(as_, hall):
    key = {"submission_key": "5f0c2b1e-0000-4000-8000-000000000777"}
    for _ in range(2):
        post(as_, hall, {"Tarn Works OD 2": 1}, **key)
    assert MaterialArrival.objects.count() == 1


def test_what_came_and_is_not_needed_any_more_is_still_shown(as_, hall):
    post(as_, hall, {"Tarn Works OD 2": 2})
    hall.hall.positions.filter(tag__in=("SD2", "SD3")).update(retired_on=today())
    (group, lines) = material_list(hall.job).groups[-1]
    assert (group, lines[0].what, lines[0].over) == ("Not needed any more", "Tarn Works OD 2", 2)


def test_the_paper_and_the_spreadsheet_hold_the_lines(as_, hall):
    pdf = as_("engineer").get(reverse("job-materials-pdf", args=[hall.job.number]))
    assert "Tarn Works OD 2" in text_of(pdf.content)
    sheet = as_("engineer").get(reverse("job-materials-xlsx", args=[hall.job.number]))
    assert sheet["Content-Disposition"].endswith('.xlsx"')


@pytest.mark.parametrize("query", ["?scope=nonsense", "?since=9", "?since=x"])
def test_an_address_that_asks_for_nonsense_is_not_found(as_, hall, query):
    assert as_("office").get(reverse("job-materials", args=[hall.job.number]) + query).status_code == 404


def test_the_way_to_the_allowances_is_shown_to_those_who_may_go_it(as_, town):
    address = reverse("job-materials", args=[town.job.number])
    allowances = f'href="{reverse("practice-list")}"'
    assert allowances in as_("office").get(address).content.decode()
    assert allowances not in as_("engineer").get(address).content.decode()
