"""A run of like positions, and the order in which one walks."""

import pytest
from django.urls import reverse

from tests import builders
from zones.positions.edits import run_of_tags, sorted_by_place, storey_rank


def run_page(town, query=""):
    return reverse("position-run", args=[town.hall.slug]) + query


def typed(town, **fields):
    return {
        "prefix": "Z3-SD-",
        "first_number": "1",
        "count": "12",
        "digits": "2",
        "kind": "smoke_detector",
        "smoke_zone": town.zone.pk,
        "panel": town.panel.pk,
        "storey": "3",
        **fields,
    }


def test_tags_of_a_run():
    """DESIGN.md's own example: 'Z3-SD-01 … -12'."""
    tags = run_of_tags(prefix="Z3-SD-", first_number=1, count=12, digits=2)
    assert (tags[0], tags[-1], len(tags)) == ("Z3-SD-01", "Z3-SD-12", 12)


def test_a_run_is_made_with_all_fields_alike(as_, town):
    line = builders.make_line(town.panel, number=4)
    response = as_("engineer").post(
        run_page(town), typed(town, detection_line=line.pk, order_on_line="5", room="Lobby")
    )
    assert response.status_code == 302
    made = list(town.hall.positions.filter(tag__startswith="Z3-SD-").order_by("tag_key"))
    assert [position.tag for position in made][:2] == ["Z3-SD-01", "Z3-SD-02"]
    assert len(made) == 12
    assert {(p.kind, p.storey, p.room, p.smoke_zone, p.detection_line) for p in made} == {
        ("smoke_detector", "3", "Lobby", town.zone, line)
    }
    assert [position.order_on_line for position in made] == list(range(5, 17))
    assert {p.history.get().history_change_reason for p in made} == {"run of 12 positions"}


def test_a_run_continues_after_a_position(as_, town):
    form = as_("engineer").get(run_page(town, f"?like={town.detector.pk}")).context["form"]
    values = {name: form[name].value() for name in ("prefix", "first_number", "digits", "kind", "storey", "panel")}
    assert values == {
        "prefix": "SD",
        "first_number": 2,
        "digits": 1,
        "kind": "smoke_detector",
        "storey": "1",
        "panel": town.panel.pk,
    }


def test_a_run_follows_its_start_in_walking_order(as_, town):
    as_("engineer").post(
        run_page(town, f"?like={town.detector.pk}"), typed(town, prefix="SD", first_number="2", count="2", digits="1")
    )
    order = list(town.hall.positions.in_walking_order().values_list("tag", flat=True))
    assert order == ["P1", "SD1", "SD2", "SD3", "CP1"]


def test_the_preview_shows_the_tags_and_changes_nothing(as_, town):
    before = town.hall.positions.count()
    text = as_("engineer").get(run_page(town), typed(town, count="3")).content.decode()
    assert "Z3-SD-03" in text
    assert town.hall.positions.count() == before


def test_clashing_tags_are_named_and_nothing_is_made(as_, town):
    builders.make_position(town.hall, tag="z3-sd-07")
    before = town.hall.positions.count()
    text = as_("engineer").get(run_page(town), typed(town)).content.decode()
    assert "has 1 of these tags already" in text
    response = as_("engineer").post(run_page(town), typed(town))
    assert response.status_code == 422
    assert "Ropewalk Hall has z3-sd-07 already" in response.content.decode()
    assert town.hall.positions.count() == before


@pytest.mark.parametrize(
    "fields",
    [
        {"count": "0"},
        {"count": "201"},
        {"count": "x"},
        {"digits": "9"},
        {"first_number": "-1"},
        {"prefix": ""},
        {"prefix": "x" * 37},
        {"prefix": "A\x00"},
        {"kind": "actuator", "detection_line": "LINE"},
        {"first_number": "1e9"},
    ],
)
def test_a_run_that_cannot_be_is_refused(as_, town, fields):
    if fields.get("detection_line"):
        fields = fields | {"detection_line": builders.make_line(town.panel, number=4).pk}
    before = town.hall.positions.count()
    assert as_("engineer").post(run_page(town), typed(town, **fields)).status_code == 422
    assert as_("engineer").get(run_page(town), typed(town, **fields)).status_code == 200
    assert town.hall.positions.count() == before


@pytest.mark.parametrize("like", ["x", "99999999", "9" * 40, "-1", ""])
def test_an_unknown_start_is_passed_over(as_, town, like):
    assert as_("engineer").get(run_page(town, f"?like={like}")).status_code == 200


def test_a_position_of_another_building_is_no_start(as_, town):
    elsewhere = builders.make_position(town.mill, tag="SD4")
    assert "SD4" not in as_("engineer").get(run_page(town, f"?like={elsewhere.pk}")).content.decode()


def walk(town):
    return list(town.hall.positions.in_walking_order().values_list("tag", flat=True))


def order_page(town):
    return reverse("walking-order", args=[town.hall.slug])


def test_a_position_moves_one_up_and_one_down(as_, town):
    assert walk(town) == ["P1", "SD1", "CP1"]
    as_("engineer").post(order_page(town), {"up": town.call_point.pk})
    assert walk(town) == ["P1", "CP1", "SD1"]
    as_("engineer").post(order_page(town), {"down": town.call_point.pk})
    assert walk(town) == ["P1", "SD1", "CP1"]


def test_typed_numbers_put_a_position_in_between(as_, town):
    as_("office").post(order_page(town), {})  # 10, 20, 30
    numbers = {f"number-{town.call_point.pk}": "15", f"number-{town.detector.pk}": "20"}
    as_("office").post(order_page(town), numbers)
    assert walk(town) == ["P1", "CP1", "SD1"]
    assert list(town.hall.positions.in_walking_order().values_list("walking_order", flat=True)) == [10, 20, 30]


def test_the_page_cuts_the_walk_at_each_storey_and_after_twenty_and_loses_none(as_, town):
    for number in range(25):
        builders.make_position(town.hall, tag=f"M{number}", storey="9", walking_order=1_000_000 + number)
    stretches = as_("office").get(order_page(town)).context["stretches"]
    assert [one.tag for stretch in stretches for one in stretch] == walk(town)
    assert [len(stretch) for stretch in stretches][-2:] == [20, 5]
    assert all(len({one.storey for one in stretch}) == 1 for stretch in stretches)


@pytest.mark.parametrize("data", [{"up": "x"}, {"up": "999999"}, {"sort": "x"}, {"down": "\x00"}])
def test_nonsense_leaves_the_order_as_it_is(as_, town, data):
    as_("office").post(order_page(town), {f"number-{town.call_point.pk}": "1e999", **data})
    assert walk(town) == ["P1", "SD1", "CP1"]


def test_sorting_by_storey_goes_from_the_basement_to_the_roof(town):
    positions = [
        builders.make_position(town.hall, tag=f"T{number}", storey=storey)
        for number, storey in enumerate(["Roof", "10", "", "2", "G", "B1", "B2"])
    ]
    upwards = [position.storey for position in sorted_by_place(positions)]
    assert upwards == ["B2", "B1", "G", "2", "10", "Roof", ""]
    assert [p.storey for p in sorted_by_place(positions, from_the_top=True)] == ["Roof", "10", "2", "G", "B1", "B2", ""]


@pytest.mark.parametrize(
    "upwards",
    [
        ["-2", "-1", "0", "1", "2", "10", "roof"],
        ["−2", "−1", "0", "3", "roof"],  # the minus sign, as it is pasted from a document
        ["–1", "ground floor", "1", "Attic"],
        ["level -1", "level 0", "level 1", "level 12"],
        ["Basement 2", "Basement 1", "Lower ground", "Ground floor", "1st floor", "2nd floor", "Plant room"],
        ["B2", "B1", "G", "1", "1–3", "2", "Roof"],
        ["Cellar", "0", "Mezzanine", "1", "Loft", ""],
        # Without a number: a basement is the first one down, the roof is on top of any, another storey on the ground.
        ["B2", "B1", "Cellar", "Lower ground", "G", "Mezzanine", "1", "12", "Roof", ""],
        ["-2", "Basement", "0", "Gallery level 1", "1st floor"],
        ["-2", "Basement", "Level -1", "Lower ground"],  # both the first one down: by their names
    ],
)
def test_storeys_stand_from_the_lowest_however_they_are_written(upwards):
    assert sorted(sorted(upwards), key=storey_rank) == upwards


def test_within_a_storey_tags_are_sorted_as_people_count(town):
    positions = [builders.make_position(town.hall, tag=tag, storey="1") for tag in ("M10", "M2")]
    assert [position.tag for position in sorted_by_place(positions)] == ["M2", "M10"]
