"""Settings compared on a visit with those as left: "differs from record → finding" (handbook process.md §4, panel)."""

import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from inspections.models import Defect, SettingFound
from inspections.settings_found.found import SettingAnswer, record_settings, take_over_setting
from inspections.visits.edits import VisitRefused, start_visit
from tests import builders
from tests.sites_registry.documents.test_base import words_of
from zones.panel_settings.edits import SettingRefused, store_setting
from zones.panel_settings.sheet import settings_sheet

pytestmark = pytest.mark.django_db


@pytest.fixture
def visit(town):
    town.panel.settings_revision = "3"
    town.panel.save()
    town.circuit = builders.make_circuit(town.panel, number=2, drive="polarity", run_time_s=75)
    town.visit = start_visit(visit=town.visit, started_by=town.people["engineer"])
    return town.visit


def line_of(town, name="Run time of circuit 2"):
    return next(line for line in settings_sheet(town.panel).lines if line.full_name == name)


def record(town, answer, name="Run time of circuit 2", visit=None, **fields):
    entries = record_settings(
        visit=visit or town.visit,
        panel=town.panel,
        recorded_by=town.people["engineer"],
        answers=[SettingAnswer(line_of(town, name), answer, **fields)],
    )
    return entries[0] if entries else None


def url_of(town, visit=None):
    return reverse("visit-settings", args=[(visit or town.visit).pk, town.panel.pk])


def sent(town, client, answers, url=None):
    """Post answers {full name: {answer, found, …}} from the page as it stands now."""
    from inspections.settings_found.forms import mark_of

    data = {"submission_key": str(uuid.uuid4())}
    for line in settings_sheet(town.panel).lines:
        data[f"seen-{line.key}"] = mark_of(line)
        for field, value in answers.get(line.full_name, {}).items():
            data[f"{field}-{line.key}"] = value
    return client.post(url or url_of(town), data), data


def finish(visit):
    type(visit).objects.filter(pk=visit.pk).update(state="finished", finished_at=timezone.now())
    visit.refresh_from_db()


class TestComparing:
    def test_a_setting_found_as_left_is_kept_as_it_stood(self, town, visit):
        entry = record(town, "as_left")
        town.circuit.run_time_s = 90
        town.circuit.save()
        entry.refresh_from_db()
        assert (entry.name, entry.left_words) == ("Run time of circuit 2", "75 s")
        assert not Defect.objects.exists()

    def test_a_difference_is_a_defect_at_the_panel(self, town, visit):
        entry = record(town, "differs", found="60")
        defect = Defect.objects.get()
        assert entry.defect == defect
        assert defect.description == "Setting Run time of circuit 2: found 60 s, left at 75 s"
        assert (defect.position, defect.severity, defect.found_on) == (town.panel.position, "degraded", visit)

    def test_the_engineer_chooses_how_severe_it_is(self, town, visit):
        assert record(town, "differs", found="60", severity="impaired").defect.severity == "impaired"

    def test_the_same_answer_again_makes_no_second_entry_and_no_second_defect(self, town, visit):
        record(town, "differs", found="60")
        assert record(town, "differs", found="60") is None
        assert (SettingFound.objects.count(), Defect.objects.count()) == (1, 1)

    def test_a_choice_is_taken_over_only_by_one_of_its_words(self, town, visit):
        key = line_of(town, "Drive of circuit 2").key
        with pytest.raises(SettingRefused, match="'hydraulic' is none of: addressed.*, polarity"):
            store_setting(panel=town.panel, key=key, text="hydraulic", by=town.people["engineer"], reason="seen")

    def test_as_left_said_again_makes_no_second_entry(self, town, visit):
        record(town, "as_left")
        assert record(town, "as_left") is None
        assert SettingFound.objects.count() == 1

    def test_a_correction_is_a_further_entry_and_the_last_one_counts(self, town, visit):
        record(town, "differs", found="60")
        record(town, "differs", found="65", severity="minor")
        assert SettingFound.objects.count() == 2
        assert SettingFound.objects.latest().get().found == "65"
        defect = Defect.objects.get()
        assert (defect.description.split(": ")[1], defect.severity) == ("found 65 s, left at 75 s", "minor")

    def test_found_as_left_it_closes_its_defect_only_where_the_engineer_says_so(self, town, visit):
        record(town, "differs", found="60")
        record(town, "as_left")
        assert Defect.objects.get().is_open
        entry = record(town, "as_left", is_put_right=True)
        defect = Defect.objects.get()
        assert (defect.closed_by_setting, defect.closed_on) == (entry, visit)

    def test_not_seen_after_all_opens_it_again(self, town, visit):
        record(town, "differs", found="60")
        record(town, "as_left", is_put_right=True)
        record(town, "not_seen", reason="Menu locked.", severity="")
        assert Defect.objects.get().is_open

    def test_not_seen_leaves_an_open_one_as_it_is(self, town, visit):
        record(town, "differs", found="60")
        before = Defect.objects.get()
        record(town, "not_seen", reason="Menu locked.", severity="")
        after = Defect.objects.get()
        assert after.is_open
        assert (after.row_version, after.history.count()) == (before.row_version, before.history.count())

    def test_a_later_visit_closes_it_where_it_was_put_right(self, town, visit):
        record(town, "differs", found="60")
        finish(visit)
        later = builders.make_visit(town.hall, state="under_way", started_at=timezone.now())
        record(town, "as_left", visit=later, is_put_right=True)
        defect = Defect.objects.get()
        assert not defect.is_open and defect.closed_on == later

    def test_a_later_visit_that_finds_it_different_again_adds_no_second_defect(self, town, visit):
        record(town, "differs", found="60")
        finish(visit)
        later = builders.make_visit(town.hall, state="under_way", started_at=timezone.now())
        record(town, "differs", found="55", visit=later)
        assert Defect.objects.get().description.endswith("found 55 s, left at 75 s")
        assert Defect.objects.get().found_on == visit

    def test_what_was_not_known_is_found_without_a_defect_unless_the_engineer_says_so(self, town, visit):
        record(town, "recorded", "Delay of circuit 2", found="3", severity="")
        assert not Defect.objects.exists()
        record(town, "recorded", "Default access code", found="not changed", severity="degraded")
        assert Defect.objects.get().description == ("Setting Default access code: found not changed, not known before")

    @pytest.mark.parametrize("state", ["planned", "finished"])
    def test_only_a_visit_under_way_takes_answers(self, town, visit, state):
        type(visit).objects.filter(pk=visit.pk).update(state=state, finished_at=timezone.now())
        with pytest.raises(VisitRefused, match="while it is under way"):
            record(town, "differs", found="60")
        assert not SettingFound.objects.exists() and not Defect.objects.exists()

    def test_a_panel_of_another_building_is_refused(self, town, visit):
        town.panel = builders.make_panel(town.mill, settings_revision="1")
        with pytest.raises(VisitRefused, match="is not in Ropewalk Hall"):
            record(town, "as_left", "Settings revision")


class TestPage:
    def test_some_answers_are_saved_and_the_rest_stays_open(self, as_, town, visit):
        client = as_("engineer")
        answers = {
            "Run time of circuit 2": {"answer": "differs", "found": "60 s", "severity": "minor"},
            "Settings revision": {"answer": "as_left"},
        }
        response, _ = sent(town, client, answers)
        assert response.status_code == 302
        assert sorted(SettingFound.objects.values_list("name", "answer", "found")) == [
            ("Run time of circuit 2", "differs", "60"),
            ("Settings revision", "as_left", ""),
        ]
        page = client.get(url_of(town)).content.decode()
        assert "2 of " in page and "Defect" in page

    def test_a_double_click_records_once(self, as_, town, visit):
        client = as_("engineer")
        _, data = sent(town, client, {"Run time of circuit 2": {"answer": "differs", "found": "60"}})
        assert client.post(url_of(town), data).status_code == 302
        assert (SettingFound.objects.count(), Defect.objects.count()) == (1, 1)

    @pytest.mark.parametrize(
        ("name", "typed", "sentence"),
        [
            ("Run time of circuit 2", {"answer": "differs"}, "Enter what you found."),
            ("Run time of circuit 2", {"answer": "differs", "found": "75,0 s"}, "is what stands as left"),
            ("Run time of circuit 2", {"answer": "not_seen"}, "Say why it was not seen."),
            ("Run time of circuit 2", {"answer": "recorded", "found": "60"}, "Select a valid choice"),
            ("Delay of circuit 2", {"answer": "as_left"}, "Select a valid choice"),
            ("Drive of circuit 2", {"answer": "differs", "found": "polarity"}, "Select a valid choice"),
            ("Settings revision", {"answer": "differs", "found": "code 4711"}, "looks like an access code"),
            ("Run time of circuit 2", {}, "Nothing was answered."),
        ],
    )
    def test_a_wrong_row_says_why_and_nothing_is_stored(self, as_, town, visit, name, typed, sentence):
        answers = {"Outputs open": {"answer": "as_left"}, name: typed} if typed else {}
        response, _ = sent(town, as_("engineer"), answers)
        assert response.status_code == 422
        assert sentence in response.content.decode()
        assert not SettingFound.objects.exists()

    def test_a_record_that_changed_while_the_page_was_open_is_compared_again(self, as_, town, visit):
        _, data = sent(town, as_("engineer"), {})
        data |= {f"answer-{line_of(town).key}": "as_left"}
        town.circuit.run_time_s = 90
        town.circuit.save()
        response = as_("engineer").post(url_of(town), data)
        assert "it says 90 s now" in response.content.decode()
        assert not SettingFound.objects.exists()

    def test_the_closing_of_a_defect_is_ticked_at_its_setting(self, as_, town, visit):
        record(town, "differs", found="60")
        client = as_("engineer")
        answer = {"answer": "as_left"}
        sent(town, client, {"Run time of circuit 2": answer})
        assert Defect.objects.get().is_open
        sent(town, client, {"Run time of circuit 2": {**answer, "put_right": "on"}})
        assert Defect.objects.get().was_put_right_where_found

    def test_many_settings_come_in_pages_and_what_remains_can_be_asked_for(self, as_, town, visit):
        for number in range(60):
            builders.make_setting(town.panel, name=f"Setting {number:02}")
        client = as_("engineer")
        assert client.get(url_of(town)).content.decode().count('class="setting-row"') == 40
        before = client.get(url_of(town) + "?show=remaining").context["page"].paginator.count
        record(town, "as_left")
        assert client.get(url_of(town) + "?show=remaining").context["page"].paginator.count == before - 1
        assert "No setting was found different" in client.get(url_of(town) + "?show=differs").content.decode()

    def test_a_finished_visit_shows_the_answers_and_takes_none(self, as_, town, visit):
        record(town, "differs", found="60")
        finish(visit)
        page = as_("engineer").get(url_of(town)).content.decode()
        assert "60 s" in page and "Save what is answered" not in page
        response, _ = sent(town, as_("engineer"), {"Run time of circuit 2": {"answer": "as_left"}})
        assert response.status_code == 422
        assert SettingFound.objects.count() == 1


class TestRestAsLeft:
    def rest(self, client, town, seen_all="1", mark=None):
        page = client.get(url_of(town))
        mark = mark or page.context["rest_mark"]
        url = reverse("visit-settings-rest", args=[town.visit.pk, town.panel.pk])
        return client.post(url, {"rest_mark": mark, **({"seen_all": seen_all} if seen_all else {})}, follow=True)

    def test_one_act_records_every_remaining_known_setting_with_who_and_when(self, as_, town, visit):
        record(town, "not_seen", "Settings revision", reason="Menu locked.", severity="")
        known = [line for line in settings_sheet(town.panel).lines if line.is_known]
        self.rest(as_("engineer"), town)
        entries = SettingFound.objects.latest().filter(answer="as_left")
        assert entries.count() == len(known) - 1
        assert set(entries.values_list("recorded_by", flat=True)) == {town.people["engineer"].pk}

    def test_a_difference_of_this_visit_or_of_an_earlier_one_is_never_among_them(self, as_, town, visit):
        record(town, "differs", found="60")
        finish(visit)
        town.visit = builders.make_visit(town.hall, state="under_way", started_at=timezone.now())
        record(town, "differs", "Outputs open", found="one group after another")
        self.rest(as_("engineer"), town)
        left = set(town.visit.settings_found.filter(answer="as_left").values_list("name", flat=True))
        assert left and not left & {"Run time of circuit 2", "Outputs open"}
        assert Defect.objects.open().count() == 2

    @pytest.mark.parametrize("wrong", [{"seen_all": ""}, {"mark": "0" * 16}])
    def test_without_the_tick_or_after_a_change_nothing_is_recorded(self, as_, town, visit, wrong):
        page = self.rest(as_("engineer"), town, **wrong).content.decode()
        assert "Nothing was recorded" in page or "Look at the rest once more" in page
        assert not SettingFound.objects.exists()


class TestTakingOver:
    def test_after_the_visit_the_found_value_goes_into_the_record_with_its_history(self, town, visit):
        entry = record(town, "differs", found="60")
        finish(visit)
        take_over_setting(entry=entry, taken_by=town.people["office"])
        town.circuit.refresh_from_db()
        assert town.circuit.run_time_s == 60
        newest = town.circuit.history.first()
        assert (newest.history_user, newest.history_change_reason) == (
            town.people["office"],
            f"Found so on {visit}; the record was wrong",
        )
        assert Defect.objects.get().is_open  # a visit closes it, not a correction of the record

    def test_taken_over_twice_it_is_taken_over_once(self, town, visit):
        entry = record(town, "differs", found="60")
        finish(visit)
        first = take_over_setting(entry=entry, taken_by=town.people["office"])
        assert take_over_setting(entry=entry, taken_by=town.people["office"]) == first
        assert town.circuit.history.filter(run_time_s=60).count() == 1

    @pytest.mark.parametrize(
        "reason", ["under way", "changed since", "corrected", "as left", "not a field", "no number"]
    )
    def test_it_is_refused_with_a_sentence_and_nothing_changes(self, town, visit, reason):
        name, found = "Run time of circuit 2", "60"
        if reason == "not a field":
            name, found = "Smoke zones of circuit 2", "Zone 1"
        answer = {"as left": "as_left", "not a field": "recorded"}.get(reason, "differs")
        found = {"as left": "", "no number": "about 60"}.get(reason, found)
        entry = record(town, answer, name, found=found, severity="" if answer != "differs" else "minor")
        if reason == "corrected":
            record(town, "differs", found="65")
        if reason != "under way":
            finish(visit)
        if reason == "changed since":
            town.circuit.run_time_s = 80
            town.circuit.save()
        before = type(town.circuit).objects.get().run_time_s
        with pytest.raises(SettingRefused) as refused:
            take_over_setting(entry=entry, taken_by=town.people["office"])
        sentences = {
            "under way": "Finish the visit first",
            "changed since": "The record says 80 s now",
            "corrected": "corrected by a later one",
            "as left": "Only a value",
            "not a field": "follows from rules",
            "no number": "'about 60' is not a figure",
        }
        assert sentences[reason] in str(refused.value)
        assert type(town.circuit).objects.get().run_time_s == before

    def test_words_of_a_choice_and_yes_or_no_are_understood(self, town, visit):
        panel = town.panel
        for field, text, stored in (
            ("operation", "one group after another", "sequential"),
            ("charger_inhibited", "yes", True),
            ("access_code_changed", "changed", True),
            ("after_reset", "close", "close"),
            ("stagger_s", "0,5", 0.5),
        ):
            store_setting(panel=panel, key=f"panel-{panel.pk}-{field}", text=text, by=town.people["office"], reason="r")
            panel.refresh_from_db()
            assert getattr(panel, field) == stored, field

    def test_a_free_setting_forgets_who_set_the_value_before(self, town, visit):
        setting = builders.make_setting(town.panel, name="Rain closes after", set_by=town.people["engineer"])
        key = f"setting-{setting.pk}-value"
        store_setting(panel=town.panel, key=key, text="45", by=town.people["office"], reason="r")
        setting.refresh_from_db()
        assert (setting.value, setting.set_by) == ("45", None)

    @pytest.mark.parametrize("key", ["", "panel", "zone-1-outputs", "circuit-999999-run_time_s", "panel-1-row_version"])
    def test_a_key_of_nothing_stored_is_refused(self, town, visit, key):
        with pytest.raises(SettingRefused):
            store_setting(panel=town.panel, key=key, text="1", by=town.people["office"], reason="r")

    def test_the_button_stands_on_the_page_of_the_finished_visit(self, as_, town, visit):
        entry = record(town, "differs", found="60")
        client, url = as_("office"), reverse("setting-take-over", args=[entry.pk])
        assert url not in client.get(visit.get_absolute_url()).content.decode()
        finish(visit)
        assert url in client.get(visit.get_absolute_url()).content.decode()
        client.post(url)
        page = client.get(visit.get_absolute_url()).content.decode()
        assert url not in page and "found value taken over" in page


class TestShown:
    def test_the_panel_page_says_when_its_settings_were_last_compared(self, as_, town, visit):
        url = reverse("panel-detail", args=[town.panel.pk])
        assert "never compared" in as_("manager").get(url).content.decode()
        record(town, "differs", found="60")
        page = as_("manager").get(url).content.decode()
        assert "last compared on" in page and "1 difference" in page

    def test_visit_page_and_report_name_the_difference(self, as_, town, visit):
        record(town, "differs", found="60")
        record(town, "as_left", "Settings revision")
        client = as_("manager")
        page = client.get(visit.get_absolute_url()).content.decode()
        assert "Run time of circuit 2" in page and "60 s" in page
        text = words_of(client.get(reverse("visit-report", args=[visit.pk])).content)
        assert "1 as left, 1 differs" in text and "60 s" in text

    def test_the_spreadsheet_has_a_sheet_of_settings(self, as_, town, visit):
        from tests.inspections.visit_pages.test_report import sheets

        record(town, "differs", found="=60")
        found = sheets(as_("manager").get(reverse("visit-report-spreadsheet", args=[visit.pk])))
        assert found["Settings"][1][:5] == ("P1", "Run time of circuit 2", "75", "differs", "'=60")

    def test_defect_page_and_reissued_certificate_say_what_closed_it(self, as_, town, visit):
        from inspections.certificates.statements import put_right_since

        record(town, "differs", found="60")
        finish(visit)
        later = builders.make_visit(town.hall, state="under_way", started_at=timezone.now())
        record(town, "as_left", visit=later, is_put_right=True)
        defect = Defect.objects.get()
        page = as_("manager").get(defect.get_absolute_url()).content.decode()
        assert "By the setting" in page and later.get_absolute_url() in page
        assert [row["by_visit"] for row in put_right_since(visit)] == [later.pk]
