"""The what-if box of a panel's design check: figures tried by the address, findings before and after, nothing saved."""

import re
from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.zones.installations import make_installation
from zones.engineering import Severity
from zones.models import ActuatorCircuit, BatterySet, Cable

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(town, shared, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda: date(2026, 3, 2))
    return shared.built(installation_at_the_hall, town)


def installation_at_the_hall(town):
    return make_installation(town.hall, tag="P7")


def ask(client, made, **tried):
    return client.get(reverse("panel-design-check", args=[made.panel.pk]), tried)


def text_of(response):
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).replace("\xa0", " ").split())


def rows_of(response):
    """(code, severity before, severity after) of what changes."""
    return [
        ((row.after or row.before).finding.code, *(line and line.finding.severity for line in (row.before, row.after)))
        for row in response.context["comparison"].rows
    ]


@pytest.mark.parametrize("person", ["office", "engineer"])
def test_a_smaller_battery_shows_what_would_not_be_met_any_more(as_, made, person):
    response = ask(as_(person), made, capacity="4,5")
    assert ("battery.capacity", Severity.MEETS, Severity.FAIL) in rows_of(response)
    text = text_of(response)
    assert "P7: the battery has 17 Ah" in text
    assert "P7: the battery has 4.5 Ah" in text
    assert "Nothing is saved." in text


def test_what_its_maker_said_of_the_old_battery_is_not_known_of_another(as_, made):
    assert ("battery.current", Severity.MEETS, Severity.MISSING) in rows_of(ask(as_("office"), made, capacity="24"))


@pytest.mark.parametrize(
    ("tried", "code"),
    [
        ({"circuit": "1", "area": "0.5", "lengths": "10"}, "cable.voltage"),
        ({"circuit": "1", "lengths": "30"}, "cable.voltage"),
        ({"run": "P7W1.2", "length": "900"}, "cable.voltage"),
        ({"circuit": "1", "actuators": "9"}, "supply.output"),
    ],
)
def test_cable_length_and_number_of_actuators_can_be_tried(as_, made, tried, code):
    rows = rows_of(ask(as_("engineer"), made, **tried))
    assert [row for row in rows if row[0] == code and row[1:] == (Severity.MEETS, Severity.FAIL)], rows


def test_a_kind_of_load_can_be_tried(as_, made):
    rows = rows_of(ask(as_("engineer"), made, circuit="1", load="constant power", lengths="3"))
    heavier = [row for row in rows if row[0] == "cable.voltage"]
    assert heavier
    assert "There is no kind of load" in text_of(ask(as_("engineer"), made, circuit="1", load="capacitive"))


def test_what_would_not_be_met_stands_first_and_what_is_gone_last(as_, made):
    Cable.objects.filter(tag="P7W1.2").update(length_m=None)
    rows = rows_of(ask(as_("engineer"), made, run="P7W1.2", length="12", capacity="2"))
    after = [row[2] for row in rows]
    assert after[0] == Severity.FAIL
    assert (None, Severity.MEETS) in [row[1:] for row in rows]  # start: said for the first time
    assert after == sorted(after, key=lambda one: list(Severity).index(one) if one else 9)


def test_counts_stand_before_and_after(as_, made):
    response = ask(as_("engineer"), made, capacity="4.5")
    counts = {word: (before, after) for _, word, before, after in response.context["comparison"].counts}
    assert counts["not met"][0] == 0
    assert counts["not met"][1] >= 1
    assert sum(before for before, _ in counts.values()) == response.context["total"]


def test_the_same_figure_as_recorded_changes_nothing(as_, made):
    text = text_of(ask(as_("engineer"), made, circuit="1", area="2.5"))
    assert "Nothing would change" in text


def test_nothing_is_stored(as_, made):
    before = [list(model.objects.order_by("pk").values()) for model in (Cable, BatterySet, ActuatorCircuit)]
    ask(as_("office"), made, circuit="1", area="1.5", lengths="3", actuators="8", capacity="4.5")
    assert [list(model.objects.order_by("pk").values()) for model in (Cable, BatterySet, ActuatorCircuit)] == before
    assert ask(as_("office"), made).context["comparison"] is None


@pytest.mark.parametrize(
    ("tried", "field", "sentence"),
    [
        ({"capacity": "abc"}, "capacity", "'abc' is not a number. Write one such as 17"),
        ({"capacity": "0"}, "capacity", "Capacity of battery would be 0; it must be greater than 0 and at most"),
        ({"capacity": "nan"}, "capacity", "not a number"),
        ({"capacity": "1e999"}, "capacity", "infinite"),
        ({"capacity": "17\0"}, "capacity", "null character"),
        ({"capacity": "1" * 3000}, "capacity", "20 characters"),
        ({"circuit": "1", "actuators": "2.5"}, "actuators", "would be 2.5; it must be a whole number from 1 to 500"),
        ({"circuit": "1", "actuators": "0"}, "actuators", "would be 0"),
        ({"circuit": "1", "lengths": "-1"}, "lengths", "would be -1; it must be greater than 0"),
        ({"circuit": "1", "lengths": "900"}, "lengths", "Length of P7W1.1 would be 9000; it must be greater than 0"),
        ({"run": "P7W1.1", "length": "25000"}, "length", "Typed in mm? 25000 mm is 25 m."),
        ({"circuit": "1", "area": "3"}, "area", "There is no standard section '3' here."),
        ({"circuit": "99", "actuators": "3"}, "circuit", "There is no circuit '99' here."),
        ({"run": "nix", "length": "3"}, "run", "There is no run 'nix' here."),
        ({"area": "1.5"}, "circuit", "Choose the circuit that is to be changed."),
        ({"length": "5"}, "run", "Choose the run that gets this length."),
        ({"run": "P7W1.1"}, "length", "Enter the length of P7W1.1 in metres"),
        ({"circuit": "1", "actuators": "1", "run": "P7W1.2", "length": "5"}, "length", "taking actuators off"),
    ],
)
def test_a_figure_that_cannot_be_is_told_at_its_field_and_nothing_is_computed(as_, made, tried, field, sentence):
    response = ask(as_("engineer"), made, **tried)
    assert response.status_code == 200
    assert sentence in " ".join(response.context["what_if"].errors[field])
    assert response.context["comparison"] is None
    assert "Not computed: correct the figures marked above. Nothing is saved." in text_of(response)


def test_every_figure_that_cannot_be_is_told_at_once(as_, made):
    response = ask(as_("engineer"), made, circuit="1", actuators="0", lengths="0", capacity="x", area="9")
    assert set(response.context["what_if"].errors) == {"actuators", "lengths", "capacity", "area"}


def test_a_class_nobody_recorded_is_asked_for(as_, made):
    Cable.objects.filter(tag="P7W1.1").update(conductor_class="")
    client = as_("engineer")
    response = ask(client, made, circuit="1", area="4")
    assert "Conductor class of" not in text_of(response)
    assert "is not known; it must be one of: 1, 2, 5" in " ".join(response.context["what_if"].errors["conductor_class"])
    assert ask(client, made, circuit="1", area="4", conductor_class="2").context["comparison"].rows


def test_as_recorded_leads_back_and_keeps_the_filter(as_, made):
    page = ask(as_("engineer"), made, capacity="5", severity="all")
    path = reverse("panel-design-check", args=[made.panel.pk])
    assert page.context["as_recorded"] == f"{path}?severity=all"
    assert '<input type="hidden" name="severity" value="all">' in page.content.decode()
    assert "As recorded</a>" not in ask(as_("engineer"), made).content.decode()


def test_the_filter_links_keep_what_is_tried(as_, made):
    assert "capacity=5&amp;severity=all" in ask(as_("engineer"), made, capacity="5").content.decode()


def test_a_manager_reads_the_check_without_the_box_whatever_the_address_says(as_, made):
    response = ask(as_("manager"), made, capacity="1")
    assert response.status_code == 200
    assert "comparison" not in response.context
    assert "What if?" not in text_of(response)


def test_a_panel_without_anything_says_that_there_is_nothing_to_try(as_, town):
    bare = builders.make_panel(town.hall, tag="P9")
    text = text_of(as_("engineer").get(reverse("panel-design-check", args=[bare.pk])))
    assert "There is nothing to try yet: no circuit and no battery is recorded for this panel." in text


def test_a_battery_can_be_tried_where_none_is_recorded(as_, made):
    BatterySet.objects.all().delete()
    rows = rows_of(ask(as_("engineer"), made, capacity="17"))
    assert ("battery.capacity", Severity.MISSING, Severity.MEETS) in rows
