"""Positions typed in a table: all rows are made, or none, and what is wrong is told at its cell."""

import pytest
from django.urls import reverse

from tests import builders
from zones.models import ActuatorCircuit, DataLink, DetectionLine, Position, SmokeZone

pytestmark = pytest.mark.django_db


def url_of(building):
    return reverse("position-grid", args=[building.slug])


def typed(*rows, **more):
    """Form data of rows of cells."""
    return {f"{column}-{number}": text for number, row in enumerate(rows, 1) for column, text in row.items()} | more


def send(client, town, *rows, **more):
    return client.post(url_of(town.hall), typed(*rows, **more))


def faults(response):
    return {cell.name: cell.fault for cell in response.context["form"].told()}


@pytest.fixture
def circuit(town):
    return builders.make_circuit(town.panel, number=1)


@pytest.fixture
def line(town):
    return builders.make_line(town.panel, number=1, smoke_zone=town.zone)


def test_the_rows_are_made_with_what_stands_in_their_cells(as_, town, circuit, line):
    model = builders.make_product_model("actuator", name="LA 300")
    group = builders.make_vent_group(town.zone, number=1)
    response = send(
        as_("engineer"),
        town,
        {
            "tag": "M1",
            "kind": "actuator",
            "zone_number": "1",
            "vent_group": "1",
            "circuit_or_line": "circuit 1",
            "model": "Tarn Works LA 300",
            "storey": "roof",
            "room": "head of stair",
            "place": "north leaf",
        },
        {"tag": "CP7", "kind": "call point", "zone_number": "1 Main stair", "circuit_or_line": "1"},
    )
    assert response.status_code == 302
    actuator, call_point = town.hall.positions.get(tag="M1"), town.hall.positions.get(tag="CP7")
    assert (actuator.kind, actuator.panel, actuator.smoke_zone) == ("actuator", town.panel, town.zone)
    assert (actuator.vent_group, actuator.actuator_circuit, actuator.product_model) == (group, circuit, model)
    assert (actuator.storey, actuator.room, actuator.place) == ("roof", "head of stair", "north leaf")
    assert (call_point.kind, call_point.detection_line) == ("manual_call_point", line)


def test_an_order_left_empty_counts_on_along_the_line(as_, town, line):
    builders.make_position(town.hall, tag="SD5", detection_line=line, panel=town.panel, order_on_line=4)
    rows = [{"tag": f"SD{n}", "kind": "smoke detector", "circuit_or_line": "1"} for n in (6, 7)]
    send(as_("office"), town, *rows)
    assert list(line.positions.order_by("pk").values_list("order_on_line", flat=True)) == [4, 5, 6]


def test_no_order_is_made_up_on_a_line_whose_devices_have_none(as_, town, line):
    builders.make_position(town.hall, tag="SD5", detection_line=line, panel=town.panel)
    send(as_("office"), town, {"tag": "SD6", "kind": "smoke detector", "circuit_or_line": "1"})
    assert town.hall.positions.get(tag="SD6").order_on_line is None


def test_each_wrong_cell_is_told_with_its_value_and_nothing_is_made(as_, town, circuit):
    before = Position.objects.count()
    response = send(
        as_("engineer"),
        town,
        {"tag": "M1", "kind": "actuator", "circuit_or_line": "1"},
        {"tag": "cp1", "kind": "manual call point"},
        {"tag": "M2", "kind": "teleporter"},
        {"tag": "M3", "kind": "actuator", "model": "Unheard 9"},
        {"tag": "M1", "kind": "actuator", "order_on_line": "x"},
        {"kind": "actuator"},
    )
    assert response.status_code == 422
    told = faults(response)
    assert set(told) == {"tag-2", "kind-3", "model-4", "tag-5", "order_on_line-5", "tag-6"}
    assert "has 'CP1' already, a manual call point. Choose another tag" in told["tag-2"]
    assert "'teleporter'" in told["kind-3"] and "'Unheard 9'" in told["model-4"] and "'x'" in told["order_on_line-5"]
    assert Position.objects.count() == before
    page = response.content.decode()
    assert 'value="Unheard 9"' in page and "6 cells to correct; nothing was made." in page


def test_a_row_that_is_left_empty_is_passed_over(as_, town):
    data = typed({"tag": "RS1", "kind": "rain sensor"}) | {"tag-5": "WS1", "kind-5": "wind sensor", "tag-6": "  "}
    assert as_("office").post(url_of(town.hall), data).status_code == 302
    assert town.hall.positions.filter(tag__in=["RS1", "WS1"]).count() == 2


def test_an_empty_table_is_refused_with_what_to_do(as_, town):
    response = as_("office").post(url_of(town.hall), {"tag-1": " "})
    assert response.status_code == 422
    assert "Begin with a tag and a kind" in response.content.decode()


def test_what_would_come_with_the_rows_is_asked_first(as_, town):
    rows = [{"tag": "M1", "kind": "actuator", "zone_number": "4 Stair D", "circuit_or_line": "2"}]
    response = send(as_("engineer"), town, *rows)
    assert response.status_code == 200
    assert response.context["makes"] == ["zone 4 Stair D", "circuit 2 of panel P1"]
    assert not SmokeZone.objects.filter(number=4).exists() and not ActuatorCircuit.objects.exists()
    response = send(as_("engineer"), town, *rows, agreed="\r\n".join(response.context["makes"]))
    assert response.status_code == 302
    zone = SmokeZone.objects.get(building=town.hall, number=4)
    assert (zone.name, zone.panel) == ("Stair D", town.panel)
    assert town.hall.positions.get(tag="M1").actuator_circuit == ActuatorCircuit.objects.get(panel=town.panel, number=2)


def test_a_yes_to_one_thing_is_no_yes_to_another(as_, town):
    row = {"tag": "SD9", "kind": "smoke detector", "circuit_or_line": "12"}
    response = send(as_("engineer"), town, row, agreed="line 1 of panel P1")
    assert response.context["makes"] == ["line 12 of panel P1"]
    assert not DetectionLine.objects.exists()


def test_with_two_panels_each_row_says_which(as_, town, circuit):
    other = builders.make_panel(town.hall, tag="P2")
    theirs = builders.make_circuit(other, number=1)
    assert "Panel, row 1" in as_("engineer").get(url_of(town.hall)).content.decode()
    response = send(as_("engineer"), town, {"tag": "M1", "kind": "actuator", "circuit_or_line": "1"})
    assert set(faults(response)) == {"circuit_or_line-1"}
    send(as_("engineer"), town, {"tag": "M1", "kind": "actuator", "panel": "P2", "circuit_or_line": "1"})
    assert town.hall.positions.get(tag="M1").actuator_circuit == theirs


def test_an_empty_building_gets_its_panel_in_the_first_row(as_, town):
    building = builders.make_building(town.quay_housing)
    data = typed(
        {"tag": "P1", "kind": "control panel"},
        {"tag": "M1", "kind": "actuator", "circuit_or_line": "1"},
        agreed="panel P1\ncircuit 1 of panel P1",
    )
    assert as_("office").post(url_of(building), data).status_code == 302
    assert building.positions.get(tag="M1").actuator_circuit.panel == building.panels.get()


def test_a_table_sent_twice_makes_its_rows_once(as_, town):
    key = "5f0e6a52-8f4f-4a0e-9a5c-9f2f6c6f6b11"
    for _ in range(2):
        assert send(as_("office"), town, {"tag": "RS1", "kind": "rain sensor"}, submission_key=key).status_code == 302
    assert town.hall.positions.filter(tag="RS1").count() == 1


def test_the_history_says_who_typed_the_rows(as_, town):
    send(as_("engineer"), town, {"tag": "RS1", "kind": "rain sensor"})
    kept = town.hall.positions.get(tag="RS1").history.get()
    assert (kept.history_user, kept.history_change_reason) == (town.people["engineer"], "table of 1 position")


def test_more_rows_than_a_table_holds_are_imported_as_a_file(as_, town):
    response = as_("office").post(url_of(town.hall), {"tag-201": "RS1", "kind-201": "rain sensor"})
    assert response.status_code == 422
    assert "at most 200" in response.content.decode()


@pytest.mark.parametrize("text", ["\x00", "x" * 5_000, "=1+1", "9" * 40, "²", "-1", "Z" * 300])
def test_strange_text_in_any_column_is_told_or_taken_but_breaks_nothing(as_, town, text):
    columns = ("tag", "kind", "zone_number", "vent_group", "vent", "circuit_or_line", "order_on_line", "model", "place")
    rows = [{"tag": f"M{n}", "kind": "actuator", "zone_number": "1", name: text} for n, name in enumerate(columns)]
    assert send(as_("office"), town, *rows).status_code in (200, 302, 422)


def test_a_table_of_forty_rows_asks_the_database_no_more_than_one_of_four(
    as_, town, line, django_assert_max_num_queries
):
    client = as_("office")

    def rows(first, count):
        return [
            {"tag": f"SD{n}", "kind": "smoke detector", "circuit_or_line": "1"} for n in range(first, first + count)
        ]

    with django_assert_max_num_queries(46):
        assert send(client, town, *rows(100, 4)).status_code == 302
    with django_assert_max_num_queries(46):
        assert send(client, town, *rows(200, 40)).status_code == 302


def test_a_call_point_goes_on_a_data_link_by_its_name(as_, town):
    DataLink.objects.create(panel=town.panel, number=1)
    send(as_("office"), town, {"tag": "CP7", "kind": "manual call point", "circuit_or_line": "data link 1"})
    made = town.hall.positions.get(tag="CP7")
    assert (made.data_link.number, made.order_on_line, made.detection_line) == (1, 1, None)


def test_the_page_asks_the_database_as_often_for_six_panels_as_for_two(as_, town, django_assert_num_queries):
    client = as_("office")
    for tags in (["P2"], ["P3", "P4", "P5", "P6"]):
        for tag in tags:
            builders.make_circuit(builders.make_panel(town.hall, tag=tag))
        with django_assert_num_queries(
            11
        ):  # session, person, building, panels, three runs, zones, models, storeys, any panel
            assert client.get(url_of(town.hall)).status_code == 200
