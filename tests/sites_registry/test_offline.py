"""What a phone needs of the register itself without a network, and how it knows whose page it keeps."""

import json

from django.urls import reverse


def told_to_worker(client):
    first_line = client.get(reverse("field-worker")).content.decode().splitlines()[0]
    return json.loads(first_line.removeprefix("const REGISTER = ").removesuffix(";"))


def test_the_worker_knows_everything_that_a_field_page_asks_for(client, as_, town):
    told = told_to_worker(client)
    page = as_("engineer").get(reverse("visit-field", args=[town.visit.pk])).content.decode()
    asked = [part.split('"')[0] for mark in ('src="', 'href="') for part in page.split(mark)[1:]]
    statics = {address for address in asked if address.startswith("/static/")}
    assert statics
    assert statics <= set(told["shell"])
    assert "/static/js/field/worker.js" not in told["shell"]


def test_the_worker_may_answer_for_every_page_and_is_asked_for_anew(client):
    answer = client.get(reverse("field-worker"))
    assert answer["Content-Type"].startswith("text/javascript")
    assert "no-cache" in answer["Cache-Control"]
    assert reverse("field-worker").count("/") == 1  # above all pages


def test_the_version_of_the_worker_is_that_of_what_it_keeps(client):
    assert told_to_worker(client)["version"] == told_to_worker(client)["version"]


def test_every_page_says_whose_it_is_and_when_it_was_made(client, as_, town):
    assert client.get(reverse("log-in"))["X-Person"] == ""
    page = as_("engineer").get(reverse("home"))
    assert page["X-Person"] == str(town.people["engineer"].pk)
    assert page["X-Made-At"]


def test_the_page_in_place_of_a_missing_one_names_nothing_and_nobody(as_, town):
    page = as_("engineer").get(reverse("without-network")).content.decode()
    assert "Ropewalk Hall" not in page
    assert 'data-person=""' in page
    assert "No network" in page


def test_a_kept_form_never_goes_out_under_the_name_of_whoever_is_logged_in_now(as_, town):
    client = as_("engineer")
    address = reverse("visit-positions-add", args=[town.visit.pk])
    answer = client.post(address, {"all": "1"}, headers={"X-Person": str(town.people["office"].pk)})
    assert answer.status_code == 409
    assert client.post(address, headers={"X-Person": str(town.people["engineer"].pk)}).status_code == 302
