"""The phone form: one position at a time; answers by form and by script."""

import json
import re
import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.models import Defect, Result
from inspections.protocols.edits import install_standard_protocols
from inspections.visits.edits import start_visit
from tests import builders


def results_of(visit):
    return Result.objects.filter(test_point__visit=visit)


@pytest.fixture
def visit(town):
    return start_visit(visit=town.visit, started_by=town.people["engineer"])


@pytest.fixture
def smoke(visit, town):
    return visit.test_points.get(position=town.detector)


@pytest.fixture
def page_of(as_, visit):
    def get(position):
        return as_("engineer").get(reverse("visit-field-position", args=[visit.pk, position.pk])).content.decode()

    return get


def send(client, visit, **fields):
    return client.post(reverse("visit-answers", args=[visit.pk]), {"client_uuid": str(uuid.uuid4()), **fields})


def send_json(client, visit, body):
    return client.post(reverse("visit-answers", args=[visit.pk]), body, content_type="application/json")


def test_the_walk_lists_every_position_with_its_serial(as_, town, visit):
    page = as_("engineer").get(reverse("visit-field", args=[visit.pk])).content.decode()
    for text in ("P1", "SD1", "CP1", "AK-0001", "0 of 3"):
        assert text in page


def test_a_reading_stands_beside_the_first_good_one_of_the_unit_that_is_fitted_now(as_, town):
    fitting = town.detector.fittings.get()
    fitting.fitted_on = timezone.localdate(builders.days_ago(800))
    fitting.save()
    for days, reading, outcome in (
        (900, "51.1", "pass"),  # of the unit before
        (760, "52.2", "fail"),
        (740, "53.3", "pass"),
        (370, "54.4", "pass"),
    ):
        at = builders.days_ago(days)
        earlier = builders.make_visit(town.hall, state="finished", started_at=at, finished_at=at)
        point = builders.make_test_point(earlier, town.detector, code="stroke", unit="s", quantity="time")
        builders.make_result(point, reading=reading, outcome=outcome, seen_at=at)
    visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    builders.make_test_point(visit, town.detector, code="stroke", unit="s", quantity="time")
    page = as_("engineer").get(reverse("visit-field-position", args=[visit.pk, town.detector.pk])).content.decode()
    text = " ".join(page.split())
    assert "54.4 s" in text and f"First 53.3 s, {builders.days_ago(740):%-d %b %Y}" in text
    assert "51.1" not in text.split("What is known here")[0]


def test_the_walk_goes_storey_by_storey_in_walking_order(as_, town, visit):
    page = as_("engineer").get(reverse("visit-field", args=[visit.pk])).content.decode()
    hrefs = [reverse("visit-field-position", args=[visit.pk, p.pk]) for p in (town.panel.position, town.detector)]
    assert 0 < page.index(hrefs[0]) < page.index(hrefs[1])


def test_the_walk_shows_what_remains(as_, town, visit, smoke):
    builders.make_result(smoke)
    page = as_("engineer").get(reverse("visit-field", args=[visit.pk]), {"show": "remaining"}).content.decode()
    stops = page[page.index('<ul class="tabs">') :]
    assert "CP1" in stops
    assert "SD1" not in stops


def test_a_position_shows_what_to_do_and_what_was_read_last_time(as_, town, visit, page_of):
    earlier = builders.make_visit(
        town.hall, state="finished", started_at=builders.days_ago(360), finished_at=builders.days_ago(360)
    )
    point = builders.make_test_point(earlier, town.panel.position, code="charger-voltage", unit="V", quantity="float")
    builders.make_result(point, reading="27.1", seen_at=builders.days_ago(360))
    page = page_of(town.panel.position)
    assert "27.1 V" in page and "27 to 27.6 V" in page and "common practice" in page


DEFECT = {"severity": "minor", "description": "Cracked.", "interim_measure": "None", "told_to": "Porter"}


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ([{"outcome": "pass"}], "done"),
        ([{"outcome": "fail", **DEFECT}], "1 fail"),
        ([{"outcome": "not_accessible", "reason": "Locked."}], "1 not accessible"),
        ([{"outcome": "pass"}, {"outcome": "fail", **DEFECT}], "answers contradict"),
    ],
)
def test_a_storey_that_is_answered_says_done_only_where_nothing_else_is_to_be_said(
    as_, town, visit, smoke, answers, words
):
    for answer in answers:
        send(as_("engineer"), visit, test_point=smoke.pk, **answer)
    page = as_("engineer").get(reverse("visit-field", args=[visit.pk])).content.decode()
    (line,) = [one for one in re.findall(r"<summary>(.*?)</summary>", page, re.S) if "Storey 1" in one]
    assert re.findall(r"done|\d fail|\d not accessible|answers contradict", line) == [words]


def test_a_position_that_the_visit_does_not_ask_is_not_found(as_, town, visit):
    elsewhere = builders.make_position(town.mill)
    assert as_("engineer").get(reverse("visit-field-position", args=[visit.pk, elsewhere.pk])).status_code == 404


def test_without_script_an_answer_goes_by_the_form(as_, town, visit, smoke):
    response = send(as_("engineer"), visit, test_point=smoke.pk, outcome="remark", remark="Dusty.")
    assert response.status_code == 302
    assert response.url.endswith(f"#point-{smoke.pk}")
    assert results_of(visit).get().remark == "Dusty."


def test_without_script_a_refusal_keeps_what_was_typed(as_, town, visit):
    charger = visit.test_points.get(code="charger-voltage")
    response = send(as_("engineer"), visit, test_point=charger.pk, outcome="pass", reading="31.7")
    page = response.content.decode()
    assert response.status_code == 422
    assert "Float voltage 31.7 V is outside the limits" in page and 'value="31.7"' in page
    assert not results_of(visit).exists()


def test_without_script_an_outcome_that_asks_for_more_comes_back_with_its_questions(as_, town, visit, smoke):
    page = send(as_("engineer"), visit, test_point=smoke.pk, outcome="fail").content.decode()
    assert 'data-asking="fail"' in page and "A fail opens a defect: choose how severe it is." in page
    assert not results_of(visit).exists()


def test_without_script_a_link_opens_an_answer_for_change(as_, town, visit, smoke):
    builders.make_result(smoke)
    address = reverse("visit-field-position", args=[visit.pk, town.detector.pk])
    client = as_("engineer")
    assert "data-changing" in client.get(address, {"change": smoke.pk}).content.decode()
    assert "data-changing" not in client.get(address).content.decode()


def test_without_script_a_fail_opens_its_defect(as_, town, visit, smoke):
    send(
        as_("engineer"),
        visit,
        test_point=smoke.pk,
        outcome="fail",
        severity="degraded",
        description="Slow.",
        interim_measure="Patrol",
        told_to="Porter",
    )
    defect = Defect.objects.get()
    assert (defect.severity, defect.interim_measure, defect.told_to) == ("degraded", "Patrol", "Porter")


def test_an_answer_without_a_test_point_leads_back_to_the_walk(as_, visit):
    assert send(as_("engineer"), visit, outcome="pass").url == reverse("visit-field", args=[visit.pk])


def test_a_batch_is_answered_one_by_one_with_the_progress(as_, town, visit, smoke):
    answers = [
        {"client_uuid": str(uuid.uuid4()), "test_point": smoke.pk, "outcome": "pass"},
        {"client_uuid": str(uuid.uuid4()), "test_point": 0, "outcome": "pass"},
    ]
    body = send_json(as_("engineer"), visit, json.dumps({"answers": answers})).json()
    assert [verdict["fate"] for verdict in body["verdicts"]] == ["taken", "refused"]
    assert body["progress"] == {"done": 1, "total": 3}


def test_a_forged_answer_is_noted_in_one_line_with_who_sent_it(as_, town, visit, caplog):
    forged = {"client_uuid": "no\nidentifier", "test_point": builders.make_test_point().pk, "outcome": "pass"}
    (verdict,) = send_json(as_("engineer"), visit, json.dumps({"answers": [forged]})).json()["verdicts"]
    (noted,) = [record.getMessage() for record in caplog.records if "was refused" in record.getMessage()]
    assert f"person {town.people['engineer'].pk}" in noted and verdict["message"] in noted
    assert "\n" not in noted


NO_BATCHES = [
    "{",
    "[]",
    "null",
    '{"answers": 5}',
    '{"answers": {}}',
    "[" * 100_000,
    '{"answers": [' + "1," * 1000 + "1]}",
    '{"answers": ' + "9" * 5000 + "}",
]


@pytest.mark.parametrize("body", NO_BATCHES)
def test_what_is_no_batch_is_refused_with_a_sentence(as_, visit, body):
    response = send_json(as_("engineer"), visit, body)
    assert response.status_code == 400
    assert "Nothing was taken" in response.json()["message"]


@pytest.mark.parametrize("stranger", ["office", "manager", None, [], "1", 10**30])
def test_a_batch_that_another_person_gave_is_noted_and_not_taken_under_this_name(
    as_, town, visit, smoke, stranger, caplog
):
    answer = {"client_uuid": str(uuid.uuid4()), "test_point": smoke.pk, "outcome": "pass"}
    person = town.people[stranger].pk if stranger in ("office", "manager") else stranger
    response = send_json(as_("engineer"), visit, {"answers": [answer], "person": person})
    if stranger is None:  # not said: it is the person who is logged in
        assert response.status_code == 200
        return
    assert response.status_code == 409
    assert "somebody else gave these answers" in response.json()["message"]
    assert "somebody else gave these answers" in caplog.text
    assert not smoke.results.exists()


def test_a_visit_of_another_engineer_takes_answers_too(town, visit, smoke, client):
    colleague = builders.make_person("engineer")
    client.force_login(colleague, backend="django.contrib.auth.backends.ModelBackend")
    send(client, visit, test_point=smoke.pk, outcome="pass")
    assert results_of(visit).get().recorded_by == colleague


def test_an_open_defect_of_last_year_is_offered_for_closing(as_, town, visit, page_of):
    defect = builders.make_defect(town.hall, builders.make_visit(town.hall), position=town.detector)
    assert f'name="closes" value="{defect.pk}"' in page_of(town.detector)


def test_a_defect_of_another_position_is_not_offered(as_, town, visit, page_of):
    builders.make_defect(town.hall, builders.make_visit(town.hall), position=town.call_point)
    assert 'name="closes"' not in page_of(town.detector)


def swap(client, town, visit, **fields):
    other = builders.make_product_model("smoke_detector")
    fields = {
        "old_serial": "ak-0001",
        "new_serial": "NEW-7",
        "product_model": other.pk,
        "reason": "Head dirty.",
        **fields,
    }
    return client.post(reverse("visit-swap", args=[visit.pk, town.detector.pk]), fields)


def test_swapping_a_unit_asks_for_a_retest(as_, town, visit, smoke):
    builders.make_result(smoke, seen_at=builders.days_ago(0.01))
    response = swap(as_("engineer"), town, visit)
    smoke.refresh_from_db()
    town.fitting.refresh_from_db()
    assert response.status_code == 302
    assert (smoke.latest_result, smoke.results.count()) == (None, 1)
    assert "AK-0001 out, NEW-7 in. Head dirty." in smoke.retest_reason
    assert (town.fitting.removed_on is not None, town.fitting.reason_removed) == (True, "Head dirty.")
    unit = town.detector.fittings.get(removed_on=None).unit
    assert unit.history.get().history_change_reason == "Head dirty."


def test_the_wrong_old_serial_is_told_with_its_place_and_swaps_nothing(as_, town, visit):
    identical = builders.make_position(town.hall, tag="SD2")
    builders.fit(identical, builders.make_unit(town.unit.product_model, serial="AK-0002"))
    response = swap(as_("engineer"), town, visit, old_serial="AK-0002")
    page = response.content.decode().replace("&#x27;", "'")
    assert response.status_code == 422
    assert "The register has 'AK-0001' at SD1, not 'AK-0002'. Serial 'AK-0002' is on record at SD2." in page
    assert list(response.context["form"].errors) == ["old_serial"]
    assert town.detector.fittings.count() == 1


def test_a_serial_of_another_building_is_told_without_its_place(as_, town, visit):
    builders.fit(builders.make_position(town.mill, tag="SD77"), builders.make_unit(serial="AK-0077"))
    page = swap(as_("engineer"), town, visit, old_serial="AK-0077").content.decode().replace("&#x27;", "'")
    assert "The register has 'AK-0001' at SD1, not 'AK-0077'. Make sure" in page
    assert "SD77" not in page


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("new_serial", ""),
        ("new_serial", "x" * 61),
        ("new_serial", "AK-0001"),
        ("reason", ""),
        ("product_model", "999"),
        ("new_serial", "a\x00"),
        ("firmware", "f" * 41),
    ],
)
def test_a_swap_that_cannot_be_is_told_and_changes_nothing(as_, town, visit, field, value):
    fields = {field: value}
    if value == "AK-0001":
        fields["product_model"] = town.unit.product_model.pk
    assert swap(as_("engineer"), town, visit, **fields).status_code == 422
    assert town.detector.fittings.count() == 1


def test_a_unit_is_recorded_where_the_register_knows_none(as_, town, visit):
    model = builders.make_product_model("manual_call_point")
    as_("engineer").post(
        reverse("visit-swap", args=[visit.pk, town.call_point.pk]),
        {"new_serial": "CP-9", "product_model": model.pk, "reason": "Not on record."},
    )
    assert town.call_point.fittings.get().unit.serial == "CP-9"


def test_a_swap_needs_a_visit_under_way(as_, town, visit):
    type(visit).objects.filter(pk=visit.pk).update(state="planned")
    assert swap(as_("engineer"), town, visit).status_code == 422
    assert town.detector.fittings.count() == 1


@pytest.mark.parametrize("count", [1, 2])
def test_no_defect_is_ticked_for_closing_before_a_person_does_it(as_, town, count):
    install_standard_protocols()
    for _ in range(count):
        point = builders.make_test_point(builders.make_visit(town.hall), town.detector)
        result = builders.make_result(point, outcome="fail")
        builders.make_defect(town.hall, point.visit, position=town.detector, found_by_result=result)
    remedial = start_visit(visit=builders.make_visit(town.hall, kind="remedial"), started_by=town.people["engineer"])
    url = reverse("visit-field-position", args=[remedial.pk, town.detector.pk])
    page = as_("engineer").get(url).content.decode()
    assert page.count('name="closes"') >= count
    assert " checked" not in page
