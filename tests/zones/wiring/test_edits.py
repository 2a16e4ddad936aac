"""The wiring edited terminal by terminal: cores and far terminals typed, undone, ticked; page and service."""

import json

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from tests import builders
from zones.models import Core, CoreEnd
from zones.wiring.edits import put_core, put_far, tick, undo
from zones.wiring.terminals import put_ends

pytestmark = pytest.mark.django_db


def text_of(response):
    return " ".join(response.content.decode().split())


@pytest.fixture
def wired(town):
    """P1 has -X3:1 … 3, SD1 has -X1:1 … 2; cable W12 with three cores runs from P1 to SD1."""
    for number in "123":
        setattr(town, f"p{number}", builders.make_terminal(town.panel, block="X3", number=number))
    for number in "12":
        setattr(town, f"d{number}", builders.make_terminal(position=town.detector, block="X1", number=number))
    town.cable = builders.make_cable(town.hall, tag="W12", cores_count=3, from_place="P1", to_place="SD1")
    town.core1 = builders.make_core(town.cable, number=1, colour="BN")
    town.core2 = builders.make_core(town.cable, number=2, colour="GNYE")
    return town


def ends_of(core):
    return dict(CoreEnd.objects.filter(core=core).values_list("end", "terminal"))


@pytest.mark.parametrize("typed", ["W12.1", "w12.1 bn", "  W12.1   BN "])
def test_a_core_is_put_on_by_its_name_with_the_end_that_belongs_there(wired, typed):
    put_core(terminal=wired.p1, text=typed)
    put_core(terminal=wired.d1, text=typed)
    assert ends_of(wired.core1) == {"near": wired.p1.pk, "far": wired.d1.pk}


def test_a_core_that_the_cable_has_by_its_type_is_recorded_as_it_is_typed(wired):
    assert "W12.3 BU put on P1 -X3:1" in put_core(terminal=wired.p1, text="W12.3 bu").said
    assert Core.objects.get(number=3).colour == "BU"


def test_another_core_takes_the_place_of_the_one_on_the_terminal(wired):
    put_core(terminal=wired.p1, text="W12.1")
    put_core(terminal=wired.p1, text="W12.2")
    assert ends_of(wired.core1) == {}
    assert ends_of(wired.core2) == {"near": wired.p1.pk}


def test_what_was_on_the_terminal_is_named_when_another_core_takes_its_place(wired):
    assert put_core(terminal=wired.p1, text="W12.1").said == "W12.1 BN put on P1 -X3:1."
    assert put_core(terminal=wired.p1, text="W12.2").said == "W12.2 GNYE put on P1 -X3:1. W12.1 BN taken off it."


def test_a_far_terminal_in_use_by_a_core_from_elsewhere_is_told_and_the_core_stays(wired):
    put_ends(core=wired.core1, near=wired.p1, far=wired.d1)
    with pytest.raises(ValidationError, match="SD1 -X1:1 is in use: W12.1 BN goes from it to P1 -X3:1"):
        put_far(terminal=wired.p2, text="SD1 -X1:1")
    assert ends_of(wired.core1) == {"near": wired.p1.pk, "far": wired.d1.pk}
    put_ends(core=wired.core1, far=wired.d1)
    put_far(terminal=wired.p2, text="SD1 -X1:1")
    assert ends_of(wired.core1) == {"near": wired.p2.pk, "far": wired.d1.pk}


def test_an_empty_field_takes_the_core_off(wired):
    put_core(terminal=wired.p1, text="W12.1")
    assert "taken off" in put_core(terminal=wired.p1, text=" ").said
    assert ends_of(wired.core1) == {}


def test_a_parked_core_is_taken_into_use(wired):
    spare = builders.make_core(wired.cable, number=3, is_spare=True)
    put_core(terminal=wired.p1, text="W12.3")
    spare.refresh_from_db()
    assert not spare.is_spare


def test_a_far_terminal_leads_the_core_on_and_without_one_takes_a_free_core_that_is_not_green_yellow(wired):
    Core.objects.filter(pk=wired.core1.pk).update(colour="GNYE")
    Core.objects.filter(pk=wired.core2.pk).update(colour="BU")
    put_far(terminal=wired.p1, text="sd1-x1:2")
    assert ends_of(wired.core2) == {"near": wired.p1.pk, "far": wired.d2.pk}
    put_far(terminal=wired.p1, text="SD1 -X1:1")
    assert ends_of(wired.core2) == {"near": wired.p1.pk, "far": wired.d1.pk}
    put_far(terminal=wired.p1, text="")
    assert ends_of(wired.core2) == {"near": wired.p1.pk}


REFUSED = {
    "no core": ("core", "W12", "'W12' is no core"),
    "no cable": ("core", "W99.1", "no cable 'W99'"),
    "no such core": ("core", "W12.9", "no core 9 on record (it has 3)"),
    "another colour": ("core", "W12.1 BU", "is recorded as BN, not BU"),
    "no colour": ("core", "W12.1 XX", "no colour code of IEC 60757"),
    "no terminal": ("far", "SD1 -X9:1", "is no terminal of this building"),
    "itself": ("far", "P1 -X3:1", "is this very terminal"),
    "no free core": ("far", "P1 -X3:2", "No free core runs between P1 and P1"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_cannot_be_is_told_and_nothing_is_changed(wired, case):
    name, typed, sentence = REFUSED[case]
    with pytest.raises(ValidationError) as error:
        {"core": put_core, "far": put_far}[name](terminal=wired.p1, text=typed)
    assert sentence in error.value.messages[0]
    assert (CoreEnd.objects.count(), Core.objects.count()) == (0, 2)


def test_a_core_with_both_ends_taken_is_told_and_a_cable_named_like_a_core_too(wired):
    put_ends(core=wired.core1, near=wired.p1, far=wired.d1)
    with pytest.raises(ValidationError, match="is on P1 -X3:1 and SD1 -X1:1 already"):
        put_core(terminal=wired.p2, text="W12.1")
    builders.make_cable(wired.hall, tag="W7.2")
    with pytest.raises(ValidationError, match=r"W7\.2 is a cable. Add the number of the core"):
        put_core(terminal=wired.p2, text="W7.2")


def test_undo_is_a_further_change_and_not_possible_once_it_was_changed_again(wired):
    put_core(terminal=wired.p1, text="W12.1")
    change = put_core(terminal=wired.p1, text="W12.2")
    undo(change=change, building_id=wired.hall.pk)
    assert ends_of(wired.core1) == {"near": wired.p1.pk}
    assert ends_of(wired.core2) == {}
    assert CoreEnd.history.filter(history_type="-").count() == 2
    with pytest.raises(ValidationError, match="changed again meanwhile"):
        undo(change=change, building_id=wired.hall.pk)
    assert ends_of(wired.core1) == {"near": wired.p1.pk}


def test_undo_puts_both_ends_of_a_core_back(wired):
    put_ends(core=wired.core1, near=wired.p1, far=wired.d1)
    change = put_core(terminal=wired.p1, text="W12.2")
    undo(change=change, building_id=wired.hall.pk)
    assert ends_of(wired.core1) == {"near": wired.p1.pk, "far": wired.d1.pk}


def test_a_tick_is_taken_back_when_the_core_changes_and_others_stay(wired):
    put_core(terminal=wired.p1, text="W12.1")
    for terminal in (wired.p1, wired.p2):
        tick(terminal=terminal, by=wired.people["engineer"], is_checked=True)
    put_core(terminal=wired.p1, text="")
    wired.p1.refresh_from_db()
    wired.p2.refresh_from_db()
    assert wired.p1.checked_at is None
    assert wired.p2.checked_by == wired.people["engineer"]


# The page ---------------------------------------------------------------------------------------------------


def send(client, town, terminal, **fields):
    data = {"panel": town.panel.pk, "of": "", **fields}
    return client.post(reverse("terminal-wiring", args=[terminal.pk]), data)


def test_a_row_is_saved_and_answers_with_what_the_checks_find(as_, wired):
    response = send(as_("engineer"), wired, wired.p1, field="core", typed="W12.1", seen="")
    answer = response.json()
    row = next(row for row in answer["rows"] if row["pk"] == wired.p1.pk)
    assert row["core"] == "W12.1 BN"
    assert "its far end is on no terminal" in row["findings"][0]["sentence"]
    assert "finding" in answer["summary"]
    undone = as_("engineer").post(reverse("wiring-undo", args=[wired.panel.pk]), {"undo": answer["undo"]}).json()
    assert next(row for row in undone["rows"] if row["pk"] == wired.p1.pk)["core"] == ""


def test_a_row_that_cannot_be_saved_says_why(as_, wired):
    response = send(as_("engineer"), wired, wired.p1, field="core", typed="W99.1", seen="")
    assert (response.status_code, CoreEnd.objects.count()) == (422, 0)
    assert "no cable" in response.json()["sentence"]


def test_a_row_that_somebody_changed_meanwhile_is_not_overwritten(as_, wired):
    put_core(terminal=wired.p1, text="W12.2")
    response = send(as_("engineer"), wired, wired.p1, field="core", typed="W12.1", seen="")
    assert response.status_code == 422
    assert "Somebody changed this meanwhile" in response.json()["sentence"]
    assert ends_of(wired.core2) == {"near": wired.p1.pk}


@pytest.mark.parametrize(
    "fields", [{"field": "colour"}, {"field": "core", "panel": "x"}, {"field": "core", "panel": 10**30}]
)
def test_nonsense_sent_to_a_row_is_answered_with_a_sentence(as_, wired, fields):
    response = send(as_("engineer"), wired, wired.p1, typed="W12.1", **fields)
    assert response.status_code == 422
    assert "out of date" in response.json()["sentence"]


def test_an_invisible_null_character_is_left_out_and_a_text_too_long_is_no_core(as_, wired):
    assert send(as_("engineer"), wired, wired.p1, field="core", typed="W12\0.1", seen="").status_code == 200
    response = send(as_("engineer"), wired, wired.p2, field="far", typed="X" * 5_000, seen="")
    assert "is no terminal of this building" in response.json()["sentence"]


def test_undo_with_a_forged_or_empty_token_is_refused(as_, wired):
    for token in ("", "abc", json.dumps({"before": []})):
        response = as_("engineer").post(reverse("wiring-undo", args=[wired.panel.pk]), {"undo": token})
        assert "can no longer be undone" in response.json()["sentence"]


def test_without_javascript_all_typed_rows_are_saved_or_none(as_, wired):
    url = reverse("wiring-save", args=[wired.panel.pk])
    data = {f"core-{wired.p1.pk}": "W12.1", f"seen-core-{wired.p1.pk}": ""}
    wrong = as_("office").post(url, {**data, f"core-{wired.p2.pk}": "W99.1"})
    assert wrong.status_code == 422
    assert "no cable" in text_of(wrong)
    assert not CoreEnd.objects.exists()
    assert "1 change of the wiring saved" in text_of(as_("office").post(url, data, follow=True))
    assert CoreEnd.objects.count() == 1


def test_a_manager_reads_the_page_and_cannot_save(as_, wired):
    put_ends(core=wired.core1, near=wired.p1, far=wired.d1)
    url = reverse("panel-wiring", args=[wired.panel.pk])
    page = as_("manager").get(url)
    assert "SD1 -X1:1" in text_of(page)
    assert "<input class" not in text_of(page)
    save = reverse("wiring-save", args=[wired.panel.pk])
    assert as_("manager").post(save, {f"core-{wired.p1.pk}": ""}).status_code == 403
    assert CoreEnd.objects.count() == 2


def test_the_page_shows_a_run_or_the_other_devices_when_asked(as_, wired):
    line = builders.make_line(wired.panel, number=1, name="Stair")
    builders.make_terminal(wired.panel, block="XL1", number="1", detection_line=line)
    url = reverse("panel-wiring", args=[wired.panel.pk])
    assert [block.heading for block in as_("office").get(url).context["page"].blocks] == ["-X3", "-XL1"]
    of_line = as_("office").get(url, {"of": "line-1"}).context["page"]
    assert [block.heading for block in of_line.blocks] == ["-XL1"]
    others = as_("office").get(url, {"of": "others"}).context["page"]
    assert [block.heading for block in others.blocks] == ["CP1", "SD1"]
    assert as_("office").get(url, {"of": "line-99'"}).context["page"].chosen == ""


def test_a_tick_is_kept_with_who_and_when(as_, wired):
    url = reverse("terminal-tick", args=[wired.p1.pk])
    answer = as_("engineer").post(url, {"checked": "1"}, headers={"Accept": "application/json"})
    assert answer.json() == {"checked": True}
    wired.p1.refresh_from_db()
    assert wired.p1.checked_by == wired.people["engineer"]
    as_("engineer").post(url, {"checked": "0"})
    wired.p1.refresh_from_db()
    assert wired.p1.checked_at is None
