"""A building written to a file, taken over by an empty register and written again is the same."""

import hashlib
import json

import pytest
from django.apps import apps
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.urls import reverse

from inspections.ledger.entering import enter_what_lacks
from inspections.models import BuildingFile, Certificate, LedgerEntry
from inspections.open_records.reading import NotTakenOver
from inspections.open_records.tables import LEFT_OUT, OF_BUILDING, TABLES
from inspections.open_records.taking_over import looked_at, stage, take_over
from inspections.open_records.writing import as_json, records_of
from sites_registry.models import Building, Counter, Person
from tests import builders
from tests.evidence import evidence_lifted
from tests.zones.wiring.wired import wire_town
from zones.as_installed.revisions import take_revision
from zones.models import ControlPanel

OF_THE_REGISTER = [
    model
    for app in ("sites_registry", "zones", "inspections")
    for model in apps.get_app_config(app).get_models(include_auto_created=True)
    if not hasattr(model, "history_object") and "istorical" not in model.__name__
]


def build_hall(town):
    """Ropewalk Hall with a row in most tables."""
    wire_town(town)
    office, engineer = town.people["office"], town.people["engineer"]
    builders.make_setting_found(town.finished, town.panel)
    builders.make_coincidence(town.panel, positions=[town.detector, town.call_point])
    builders.make_variation(town.hall)
    builders.make_design_basis(town.hall)
    builders.make_battery_set(town.panel)
    builders.make_setting(town.panel)
    builders.make_handed_over(town.job)
    builders.make_rule(town.panel, cause="device", position=town.detector, smoke_zone=town.zone, effect="O")
    link = builders.make_data_link(town.panel)
    builders.make_link_entry(link)
    builders.make_input_port(town.panel, devices=[town.call_point])
    builders.prove_place(town.fitting)
    builders.make_log_entry(town.hall, town.people["manager"], kind="fault")
    builders.make_defect(town.hall, town.finished)
    builders.make_result(builders.make_test_point(town.visit, town.detector), engineer)
    take_revision(building=town.hall, taken_by=office, reason="As handed over.")
    return town


@pytest.fixture
def hall(shared, town):
    return shared.built(build_hall, town)


def written(town, person="office"):
    return json.loads(as_json(records_of(town.hall, by=town.people[person])))


def told(records):
    """All of it but who wrote it when, and the files that it does not hold."""
    return {name: value for name, value in records.items() if name not in ("from", "files_not_held")}


def empty_register():
    """Nothing is left but one new person of the office."""
    with evidence_lifted(), connection.constraint_checks_disabled():
        for model in OF_THE_REGISTER:
            model._base_manager.all()._raw_delete("default")
    return builders.make_person("office", email="first@tarn.example")


def taken_over(records, by):
    content = records if isinstance(records, bytes) else json.dumps(records).encode()
    return take_over(file=stage(name="hall.json", content=content, by=by), by=by)


def test_a_building_taken_over_by_an_empty_register_is_the_same(hall):
    before = written(hall)
    by = empty_register()
    building = taken_over(before, by)
    assert told(json.loads(as_json(records_of(building, by=by)))) == told(before)


def test_files_are_listed_with_size_and_digest(hall):
    builders.make_attachment(b"A file kept for tests.", building=hall.hall)
    (one,) = written(hall)["files_not_held"]
    assert one["what"] == "attachment" and one["size_bytes"] == 22
    assert one["sha256"] == hashlib.sha256(b"A file kept for tests.").hexdigest()


def test_the_record_of_the_round_trip_has_most_tables(hall):
    empty = {name for name, rows in written(hall)["records"].items() if not rows}
    assert len(empty) < len(TABLES) / 4, empty


def test_every_model_is_in_the_file_or_named_as_left_out():
    named = [table.model for table in TABLES] + [model for one in LEFT_OUT for model in one.models]
    auto = {Building.managers.through, Person.groups.through, Person.user_permissions.through}
    auto |= {apps.get_model("sites_registry", "Invitation").buildings.through}
    assert set(OF_THE_REGISTER) - auto == set(named)
    assert len(named) == len(set(named))


def test_people_come_as_names_without_a_log_in(hall):
    before = written(hall)
    taken_over(before, empty_register())
    engineer = Person.objects.get(email="engineer@tarn.example")
    assert not engineer.is_active and not engineer.has_usable_password() and not engineer.buildings.exists()


def test_what_was_taken_over_is_entered_in_the_ledger_as_entered_later(hall):
    before = written(hall)
    building = taken_over(before, empty_register())
    certificate = Certificate.objects.get()
    entry = LedgerEntry.objects.get(kind=LedgerEntry.Kind.ISSUE, about=certificate.pk)
    assert entry.is_later
    assert enter_what_lacks(building) == 0


def test_numbers_go_on_behind_those_that_were_taken_over(hall):
    before = written(hall)
    before["records"]["jobs"][0]["number"] = "J-2026-041"
    taken_over(before, empty_register())
    assert Counter.objects.get(series="job-2026").last_number == 41
    assert builders.make_position(Building.objects.get(), tag="NEW").pk  # its key is free


def test_a_manager_s_file_tells_no_log_ins_and_is_taken_over_all_the_same(hall):
    before = written(hall, "manager")
    assert {person["email"] for person in before["records"]["people"]} == {""}
    by = empty_register()
    building = taken_over(before, by)
    assert told(json.loads(as_json(records_of(building, by=by)))) == told(before)


def test_the_same_file_twice_is_one_building(hall):
    before = written(hall)
    by = empty_register()
    file = stage(name="hall.json", content=json.dumps(before).encode(), by=by)
    assert take_over(file=file, by=by) == take_over(file=file, by=by)
    with pytest.raises(NotTakenOver, match="Ropewalk Hall is in this register already."):
        taken_over(before, by)


def _name_the_building_otherwise(records):
    records["records"]["buildings"][0] |= {"name": "Other Hall", "slug": "other-hall"}


def _point_to_nothing(records):
    records["records"]["panels"][0]["position"] = 999_999


def _text_for_a_number(records):
    records["records"]["smoke_zones"][0]["number"] = "one"


def _alter_the_statement(records):
    records["records"]["certificates"][0]["statement"]["next_due_on"] = "2099-01-01"


def _give_a_key_twice(records):
    records["records"]["positions"][1]["id"] = records["records"]["positions"][0]["id"]


def _break_a_rule(records):
    records["records"]["buildings"][0]["inspection_interval_months"] = 0


def _break_a_rule_of_the_database(records):
    records["records"]["positions"][1]["tag"] = records["records"]["positions"][0]["tag"]


def _say_another_version(records):
    records["version"] = 2


@pytest.mark.parametrize(
    ("alter", "words"),
    [
        (_point_to_nothing, "panels[0].position: 999999 is no id of records.positions."),
        (_text_for_a_number, "records.smoke_zones[0].number: 'one' is not of type 'integer'."),
        (_alter_the_statement, "does not say what it said when it was issued"),
        (_give_a_key_twice, "records.positions: an id is given twice."),
        (_break_a_rule, "inspection_interval_months: Ensure this value is greater than or equal to 1."),
        (_break_a_rule_of_the_database, "a rule"),
        (_say_another_version, "The file is of version 2; this register reads version 1."),
    ],
)
def test_a_faulty_file_is_refused_with_the_place_and_changes_nothing(hall, alter, words):
    records = written(hall)
    alter(records)
    by = empty_register()
    with pytest.raises(NotTakenOver) as refusal:
        taken_over(records, by)
    assert any(words in reason for reason in refusal.value.reasons), refusal.value.reasons
    assert not Building.objects.exists() and Person.objects.count() == 1


@pytest.mark.parametrize("content", [b"", b"[1", b"[]", b'"\xff"', b"[" * 100_000, b'{"format": NaN}', b'"\\ud800"'])
def test_what_is_no_file_of_a_building_is_told(hall, content):
    with pytest.raises(NotTakenOver):
        taken_over(content, hall.people["office"])


def test_numbers_that_exist_already_are_told(hall):
    records = written(hall)
    _name_the_building_otherwise(records)
    with pytest.raises(NotTakenOver) as refusal:
        taken_over(records, hall.people["office"])
    words = " ".join(refusal.value.reasons)
    assert f"{hall.finished.pk}" in words and "of visits in the file: other records of this register" in words
    assert f"Number {hall.certificate.number} of certificates: taken here." in words
    assert "AK-0001" in words and "Take it off there first." in words


def test_a_record_of_the_firm_that_is_another_here_is_told(hall):
    records = written(hall)
    _name_the_building_otherwise(records)
    records["records"]["product_models"][0]["rated_current_a"] = "7.5"
    records["records"]["people"][0]["full_name"] = "Another Name"
    file = stage(name="a.json", content=json.dumps(records).encode(), by=hall.people["office"])
    notes = looked_at(file)[1].notes
    assert any("name (in the file: Another Name)" in note and "What they did stands under" in note for note in notes)
    with pytest.raises(NotTakenOver, match="is another in this register: .* here and 7.5 in the file"):
        take_over(file=file, by=hall.people["office"])


def test_the_office_looks_at_a_file_and_takes_it_over_on_its_pages(hall, client):
    content = as_json(records_of(hall.hall, by=hall.people["office"]))
    client.force_login(empty_register())
    sent = {"file": SimpleUploadedFile("hall.json", content)}
    page = client.post(reverse("building-file-create"), sent, follow=True)
    assert "Take the building over" in page.text and "Ropewalk Hall" in page.text
    file = BuildingFile.objects.get()
    page = client.post(reverse("building-file-take-over", args=[file.pk]), follow=True)
    assert "is in this register now" in page.text
    assert ControlPanel.objects.filter(building=Building.objects.get()).exists()


def test_a_file_that_is_faulty_is_told_on_its_page_and_thrown_away(hall, as_):
    page = as_("office").post(
        reverse("building-file-create"), {"file": SimpleUploadedFile("a.json", b"{}")}, follow=True
    )
    assert "cannot be taken over" in page.text and "Take the building over" not in page.text
    as_("office").post(reverse("building-file-discard", args=[BuildingFile.objects.get().pk]))
    assert not BuildingFile.objects.exists()


def test_the_file_costs_a_fixed_number_of_queries(hall, django_assert_num_queries):
    once = len(OF_BUILDING)
    records_of(hall.hall, by=hall.people["office"])
    with django_assert_num_queries(once + 11):
        records_of(hall.hall, by=hall.people["office"])
