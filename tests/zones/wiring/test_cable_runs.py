"""Cables as the runs of a circuit or line: they form a tree in one building, told in sentences at the field."""

from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from tests import builders
from zones.models import Cable
from zones.wiring.cable_runs import RunRow, record_runs

pytestmark = pytest.mark.django_db


@pytest.fixture
def circuit(town):
    return builders.make_circuit(town.panel, number=1)


@pytest.fixture
def runs(town, circuit):
    """W1 from the panel, W2 from W1 to actuator M1."""
    actuator = builders.make_position(town.hall, "actuator", tag="M1", actuator_circuit=circuit, smoke_zone=town.zone)
    first = builders.make_cable(town.hall, tag="W1", actuator_circuit=circuit, length_m=20)
    second = builders.make_cable(town.hall, tag="W2", actuator_circuit=circuit, upstream=first, feeds=actuator)
    return first, second


def post(as_, cable, **fields):
    url = reverse("cable-update", args=[cable.pk])
    stored = {
        "tag": cable.tag,
        "actuator_circuit": cable.actuator_circuit_id or "",
        "upstream": cable.upstream_id or "",
        "feeds": cable.feeds_id or "",
        "length_m": cable.length_m or "",
        "seen_version": cable.row_version,
    }
    return as_("engineer").post(url, {**stored, **fields})


def told(response, field):
    assert response.status_code == 422
    return " ".join(response.context["form"].errors[field])


def test_a_run_goes_on_from_another_and_ends_at_its_device(as_, town, circuit, runs):
    assert post(as_, runs[1], length_m="12.5", hot_length_m="3").status_code == 302
    run = Cable.objects.get(tag="W2")
    assert (run.upstream, run.feeds.tag, run.length_m, run.hot_length_m) == (runs[0], "M1", 12.5, 3)


def test_the_way_back_from_its_runs_names_the_panel_once(as_, circuit):
    page = as_("engineer").get(reverse("circuit-cables", args=[circuit.pk]))
    assert f'<a href="{circuit.get_absolute_url()}">circuit 1</a>' in page.text


def test_runs_that_close_a_ring_are_refused_and_nothing_is_changed(as_, runs):
    first, second = runs
    assert "would close a ring" in told(post(as_, first, upstream=second.pk), "upstream")
    assert Cable.objects.get(pk=first.pk).upstream is None


def test_a_cable_does_not_go_on_from_itself(as_, runs):
    assert "upstream" in post(as_, runs[0], upstream=runs[0].pk).context["form"].errors


def test_a_run_stays_on_the_circuit_of_what_it_goes_on_from(as_, town, runs):
    other = builders.make_circuit(town.panel, number=2)
    sentence = told(post(as_, runs[1], actuator_circuit=other.pk, feeds=""), "upstream")
    assert "Cable W1 is a run of P1 circuit 1. Choose a cable of the same circuit or line." in sentence


def test_a_run_that_others_go_on_from_does_not_leave_without_them(as_, town, runs):
    other = builders.make_circuit(town.panel, number=2)
    sentence = told(post(as_, runs[0], actuator_circuit=other.pk), "actuator_circuit")
    assert "Cable W2 of P1 circuit 1 goes on from this one" in sentence


def test_a_run_feeds_a_device_of_its_circuit_only(as_, town, circuit):
    cable = builders.make_cable(town.hall, tag="W9", actuator_circuit=circuit)
    line = builders.make_line(town.panel)
    detector = builders.make_position(town.hall, tag="SD9", detection_line=line)
    assert "SD9 is not on P1 circuit 1" in told(post(as_, cable, feeds=detector.pk), "feeds")


def test_a_device_is_fed_by_one_cable(as_, town, circuit, runs):
    cable = builders.make_cable(town.hall, tag="W9", actuator_circuit=circuit)
    sentence = told(post(as_, cable, feeds=runs[1].feeds_id), "feeds")
    assert "Another cable feeds M1 already" in sentence


def test_the_database_keeps_one_cable_per_fed_device(town, circuit, runs):
    with pytest.raises(IntegrityError), transaction.atomic():
        Cable.objects.create(building=town.hall, tag="W9", actuator_circuit=circuit, feeds=runs[1].feeds)


def test_devices_and_cables_of_another_building_are_not_offered(as_, town, circuit, runs):
    elsewhere = builders.make_cable(town.mill, tag="W1")
    cable = builders.make_cable(town.hall, tag="W9", actuator_circuit=circuit)
    assert "not one of the available choices" in told(post(as_, cable, upstream=elsewhere.pk), "upstream")


@pytest.mark.parametrize(
    ("fields", "field", "sentence"),
    [
        ({"length_m": "25000"}, "length_m", "at most 2000 m. Typed in mm? 25000 mm is 25 m."),
        ({"length_m": "0"}, "length_m", "0 is not possible"),
        ({"length_m": "NaN"}, "length_m", "Enter a number"),
        ({"length_m": "10", "hot_length_m": "11"}, "hot_length_m", "11 m in the fire is more than the length"),
        ({"hot_length_m": "-1"}, "hot_length_m", "must be at least 0 and at most 2000 m"),
        ({"area_mm2": "1.7"}, "area_mm2", "0.5, 0.75, 1.0, 1.5"),  # sizes of IEC 60228
        ({"awg": "xx"}, "awg", "Write 18 or 2/0."),
        ({"awg": "14", "area_mm2": "2.5"}, "awg", "give one of the two"),
    ],
)
def test_what_no_run_can_be_is_told_at_its_field(as_, runs, fields, field, sentence):
    assert sentence in told(post(as_, runs[1], **fields), field)


def test_a_cable_that_is_no_run_may_have_any_area(as_, town):
    cable = builders.make_cable(town.hall, tag="W9")
    assert post(as_, cable, area_mm2="1.7").status_code == 302


def test_what_a_cable_feeds_is_asked_of_a_run_only(as_, town, circuit, runs):
    cable = builders.make_cable(town.hall, tag="W9")
    response = post(as_, cable, upstream=runs[0].pk)
    assert response.status_code == 422
    assert Cable.objects.get(pk=cable.pk).upstream is None


LAYING = {
    **{"insulation": "thermosetting", "method": "E", "grouped_circuits": "3", "ambient_c": "40"},
    **{"fire_class": "p", "integrity_min": "60", "fixing_min": "30"},
}


def test_how_all_runs_of_a_circuit_are_laid_is_entered_at_once_and_shown_again(as_, circuit, runs):
    url, second = reverse("circuit-cables", args=[circuit.pk]), runs[1]
    key = second.feeds_id
    typed = {f"tag_{key}": "W2", f"length_{key}": "7", f"seen_{key}": second.row_version}
    assert as_("engineer").post(url, typed | LAYING).status_code == 302
    stored = Cable.objects.get(pk=second.pk)
    assert {name: str(getattr(stored, name)) for name in LAYING} == LAYING | {"ambient_c": "40.0"}
    form = as_("engineer").get(url).context["form"]
    assert {name: str(form[name].value()) for name in LAYING} == LAYING | {"ambient_c": "40.0"}


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("cores_per_pole", "9", "9 cores per pole: 1 to 8 are possible"),
        ("ambient_c", "95", "95 is not possible: it must be at least -40 and at most 80 °C."),
        ("grouped_circuits", "101", "101 is not possible: it must be at least 1 and at most 100."),
        ("integrity_min", "241", "241 is not possible: it must be greater than 0 and at most 240 min."),
    ],
)
def test_a_laying_that_cannot_be_is_told_at_its_field(as_, runs, field, value, words):
    assert words in told(post(as_, runs[1], **{field: value}), field)


def test_both_poles_need_their_parallel_cores_in_the_cable(as_, runs):
    assert post(as_, runs[1], cores_count="4", cores_per_pole="2").status_code == 302
    runs[1].refresh_from_db()
    assert "2 cores per pole" in told(post(as_, runs[1], cores_count="3", cores_per_pole="2"), "cores_per_pole")


def test_of_the_runs_entered_in_one_go_only_what_was_changed_is_stored_anew(circuit, runs):
    second = runs[1]
    other = builders.make_position(circuit.panel.building, "actuator", tag="M2", actuator_circuit=circuit)
    feeds = {"M1": second.feeds, "M2": other}
    third = builders.make_cable(circuit.panel.building, tag="W3", actuator_circuit=circuit, feeds=other, length_m=7)
    rows = [
        RunRow(feeds["M1"], tag="", length_m=Decimal("12.5"), seen_version=second.row_version),
        RunRow(feeds["M2"], tag="W3", length_m=Decimal("7"), seen_version=third.row_version),
    ]
    record_runs(owner=circuit, rows=rows, area_mm2=None, fire_rating="")
    stored = {cable.tag: cable for cable in Cable.objects.filter(actuator_circuit=circuit)}
    assert (stored["W2"].length_m, stored["W2"].row_version) == (Decimal("12.5"), second.row_version + 1)
    assert (stored["W3"].length_m, stored["W3"].row_version) == (7, third.row_version)
    assert third.history.count() == 1
