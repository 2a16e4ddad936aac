"""All fitted battery sets by due date; and a recall that finds them by model, batch and date code."""

import csv
import io
from datetime import date, timedelta

import openpyxl
import pytest
from dateutil.relativedelta import relativedelta
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.zones.installations import make_installation
from zones.design_basis.edits import set_practice
from zones.design_check.batteries import limits_of_batteries
from zones.models import BatterySet, ControlPanel, DeviceKind
from zones.panels.edits import change_battery

LIST = reverse("battery-list")


def years_ago(years, days=0):
    return timezone.localdate() - relativedelta(years=years) + timedelta(days=days)


@pytest.fixture
def model(town):
    return builders.make_product_model(DeviceKind.BATTERY, name="BL 12-24", capacity_ah=24)


@pytest.fixture
def sets(town, model):
    """One set overdue, one due soon, one not due, one of unknown age; each in a panel of its own."""
    made = {"overdue": years_ago(5), "soon": years_ago(3, -200), "later": years_ago(1)}
    fitted = {
        name: builders.make_battery_set(
            builders.make_panel(town.hall, tag=name), product_model=model, made_on=day, fitted_on=day, batch=f"B-{name}"
        )
        for name, day in made.items()
    }
    fitted["unknown"] = builders.make_battery_set(
        builders.make_panel(town.mill, tag="unknown"), fitted_on=years_ago(0, -30), date_code="??", capacity_ah=None
    )
    return fitted


def tags(response):
    return [row.record.panel.tag for row in response.context["table"].rows]


def test_sets_are_listed_by_due_date_with_their_state(as_, sets):
    response = as_("office").get(LIST)
    assert tags(response) == ["overdue", "soon", "later", "unknown"]
    assert [row.record.state for row in response.context["table"].rows] == [
        "overdue",
        "due_soon",
        "not_due",
        "unknown",
    ]


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("?due=overdue", ["overdue"]),
        ("?due=due_soon", ["soon"]),
        ("?due=unknown", ["unknown"]),
        ("?code=b-la", ["later"]),
        ("?code=%3F%3F", ["unknown"]),
        ("?model=null", ["unknown"]),
        ("?building=mill", ["unknown"]),
        ("?sort=-due_on", ["unknown", "later", "soon", "overdue"]),
        ("?sort=-years", ["overdue", "soon", "later", "unknown"]),
        ("?due=nonsense", ["overdue", "soon", "later", "unknown"]),
    ],
)
def test_the_list_is_filtered_and_sorted(as_, sets, query, found):
    assert tags(as_("office").get(LIST + query)) == found


def test_which_batteries_turn_four_next_year(as_, town):
    """Question 10 of the handbook's list of questions."""
    year = timezone.localdate().year
    for tag, made_on in {
        "this": date(year - 4, 3, 1),
        "next": date(year - 3, 3, 1),
        "after": date(year - 2, 3, 1),
    }.items():
        panel = builders.make_panel(town.hall, tag=tag)
        builders.make_battery_set(panel, made_on=made_on, fitted_on=made_on)
    assert tags(as_("engineer").get(LIST + "?due=next_year")) == ["next"]


def test_an_unknown_age_says_so_with_the_least_it_can_be(as_, sets):
    text = as_("office").get(LIST).content.decode()
    assert "not known, at least 0.0 years" in text
    assert "date code &#x27;??&#x27; cannot be read as a day" in text
    assert "at the latest" in text
    assert "Ah not known" in text


def test_a_set_of_unknown_age_fitted_longer_ago_than_the_service_life_is_overdue(as_, town):
    builders.make_battery_set(town.panel, fitted_on=years_ago(5))
    (row,) = as_("office").get(LIST + "?due=overdue").context["table"].rows
    assert not row.record.age.is_known


def test_the_firms_figure_of_service_life_moves_the_due_dates(as_, sets):
    set_practice(name="battery_service_years", value="6")
    assert tags(as_("office").get(LIST + "?due=overdue")) == []


def test_a_manager_sees_the_batteries_of_own_buildings_only(as_, sets):
    assert tags(as_("manager").get(LIST)) == ["overdue", "soon", "later"]
    html = as_("stranger").get(LIST).content.decode()
    assert "Mill House" in html and "Ropewalk Hall" not in html


def marks(client, *panels):
    return client.get(reverse("battery-limits"), {"panel": [getattr(panel, "pk", panel) for panel in panels]}).json()


def test_a_set_is_marked_as_the_page_of_its_panel_says_it(as_, town):
    """Well, too small, of a figure not known, and none at all."""
    well = make_installation(town.hall, tag="P5").panel
    small, unknown = (make_installation(town.hall, tag=tag).panel for tag in ("P6", "P7"))
    small.battery_sets.update(capacity_ah=1)
    unknown.battery_sets.update(product_model=None)
    found = limits_of_batteries(ControlPanel.objects.all())
    assert found[well.pk] == ("meets", "within the entered limit")
    assert found[small.pk][0] == "not_met" and found[small.pk][1].startswith("capacity")
    assert found[unknown.pk] == found[town.panel.pk] == ("not_known", "not known")
    for panel in (well, small, unknown, town.panel):
        battery = as_("office").get(panel.get_absolute_url()).context["answers"][2]
        assert battery.heading.startswith("Standby battery")
        assert battery.key == found[panel.pk][0]


def test_marks_are_given_for_the_panels_that_are_asked_for_and_that_the_person_sees(as_, town, sets):
    own, other = sets["soon"].panel, sets["unknown"].panel
    assert set(marks(as_("office"), other, "x", "9" * 40)) == {str(other.pk)}
    assert set(marks(as_("manager"), own, other)) == {str(own.pk)}


def test_more_panels_than_a_page_has_are_refused(as_, town):
    response = as_("office").get(reverse("battery-limits"), {"panel": list(range(1, 52))})
    assert (response.status_code, response.json()["sentence"]) == (400, "51 marks are asked for; ask for 50 at most.")


def test_until_it_is_marked_a_row_leads_to_the_design_check_of_its_panel(as_, sets):
    page = as_("office").get(LIST).content.decode()
    cell = page.split(f'data-limits-of="{sets["soon"].panel_id}"')[1].split("</td>")[0]
    assert reverse("panel-design-check", args=[sets["soon"].panel_id]) in cell and 'class="state quiet"' in cell


def test_a_panel_without_a_battery_set_is_named(as_, town, sets):
    assert "P1 of Ropewalk Hall" in as_("office").get(LIST).content.decode()
    builders.make_battery_set(town.panel)
    assert "P1 of Ropewalk Hall" not in as_("office").get(LIST).content.decode()


def test_a_replaced_set_leaves_the_list_and_stays_on_the_panels_record(as_, town, model):
    old = builders.make_battery_set(town.panel, product_model=model, batch="OLD-1", fitted_on=date(2021, 3, 1))
    change_battery(panel=town.panel, fitted_on=date(2025, 3, 1), product_model=model, batch="NEW-1")
    assert tags(as_("office").get(LIST)) == ["P1"]
    old.refresh_from_db()
    assert (old.batch, old.removed_on) == ("OLD-1", date(2025, 3, 1))
    assert "NEW-1" in as_("office").get(town.panel.get_absolute_url()).content.decode()
    assert "OLD-1" in as_("office").get(reverse("panel-record", args=[town.panel.pk])).content.decode()


def test_an_empty_register_says_where_to_begin(as_, town):
    assert "No battery set is recorded yet" in as_("office").get(LIST).content.decode()


def test_the_list_is_paged(as_, town):
    for number in range(51):
        builders.make_battery_set(builders.make_panel(town.hall, tag=f"Q{number}"))
    assert len(as_("office").get(LIST + "?page=2").context["table"].paginated_rows) == 1


@pytest.mark.parametrize("file_format", ["csv", "xlsx"])
def test_the_list_downloads_with_its_filter(as_, sets, file_format):
    response = as_("office").get(reverse("battery-list-export", args=[file_format]) + "?due=overdue")
    assert file_format in response["Content-Disposition"]
    if file_format == "csv":
        (row,) = csv.DictReader(io.StringIO(response.content.decode("utf-8-sig")))
    else:
        head, values = openpyxl.load_workbook(io.BytesIO(response.content)).active.values
        row = dict(zip(head, values, strict=True))
    assert (row["Building"], row["Panel"], row["Model"], row["Batch"]) == (
        "Ropewalk Hall",
        "overdue",
        "BL 12-24",
        "B-overdue",
    )
    assert (row["Age counted from"], row["Age known"], row["State"]) != ("", "", "")
    assert row["Counted from the"] == "day of manufacture"


def test_another_format_is_not_found(as_, town):
    assert as_("office").get(reverse("battery-list-export", args=["exe"])).status_code == 404


def test_the_menu_leads_to_the_batteries(as_, town):
    for name, page in (("office", "/units/"), ("engineer", "/units/"), ("manager", "/buildings/")):
        assert f'href="{LIST}"' in as_(name).get(page).content.decode()


@pytest.mark.parametrize("page", ["", "?due=overdue"])
def test_the_list_costs_the_same_for_few_sets_and_for_many(as_, town, sets, page, django_assert_num_queries):
    office = as_("office")
    # session, person, models of the filter, practice (figure of the lead, and of the rows), sets, panels without
    with django_assert_num_queries(7):
        office.get(LIST + page)
    for number in range(20):
        building = builders.make_building()
        builders.make_battery_set(builders.make_panel(building), product_model=builders.make_product_model("battery"))
        builders.make_panel(building, tag=f"Z{number}")
    with django_assert_num_queries(7):
        office.get(LIST + page)


# A recall --------------------------------------------------------------------------------------------------------


def recall(model, batch="", file_format=None):
    name = reverse("unit-recall-export", args=[file_format]) if file_format else reverse("unit-recall")
    return f"{name}?model={model.pk}&batch={batch}"


@pytest.mark.parametrize("code", ["bk-77", "24w06"])
def test_a_recall_finds_battery_sets_by_batch_or_date_code_in_all_buildings(as_, town, model, code):
    for building in (town.hall, town.mill):
        builders.make_battery_set(
            builders.make_panel(building, tag="P9"), product_model=model, batch="BK-77", date_code="24W06"
        )
    builders.make_battery_set(builders.make_panel(town.hall), product_model=model, batch="BK-78", date_code="24W07")
    html = as_("office").get(recall(model, code)).content.decode()
    assert "2 battery sets (4 blocks)" in html and "fitted in 2 buildings" in html
    assert "No unit" not in html
    rows = list(csv.DictReader(io.StringIO(as_("office").get(recall(model, code, "csv")).content.decode("utf-8-sig"))))
    assert [(row["Building"], row["Tag"], row["Batch"], row["Date code"], row["Blocks"]) for row in rows] == [
        ("Mill House", "P9", "BK-77", "24W06", "2"),
        ("Ropewalk Hall", "P9", "BK-77", "24W06", "2"),
    ]


def test_a_set_taken_out_is_not_recalled(as_, town, model):
    builders.make_battery_set(town.panel, product_model=model, batch="BK-77", removed_on="2025-01-01")
    assert "No unit or battery set of" in as_("office").get(recall(model, "BK-77")).content.decode()


def test_a_recall_tells_of_sets_that_may_be_of_the_batch(as_, town, model):
    builders.make_battery_set(town.panel, product_model=model)
    builders.make_battery_set(builders.make_panel(town.mill), batch="BK-77")
    html = as_("office").get(recall(model, "BK-77")).content.decode()
    assert "1 fitted set of this model has neither batch nor date code recorded" in html
    assert "1 fitted battery set has no model recorded" in html


def test_a_recall_of_many_battery_sets_costs_no_more_queries(as_, town, model, django_assert_num_queries):
    office = as_("office")
    builders.make_battery_set(town.panel, product_model=model, batch="BK-77")
    # 9 as for any model; sets counted, sets, unmarked, without model, marks
    with django_assert_num_queries(14):
        office.get(recall(model, "BK-77"))
    for _ in range(10):
        builders.make_battery_set(builders.make_panel(), product_model=model, batch="BK-77")
    with django_assert_num_queries(14):
        office.get(recall(model, "BK-77"))


def test_a_battery_models_page_names_the_buildings_that_have_it(as_, town, model):
    builders.make_battery_set(town.panel, product_model=model)
    html = as_("office").get(model.get_absolute_url()).content.decode()
    assert "1 battery set" in html and "Ropewalk Hall" in html
    assert BatterySet.objects.fitted().count() == 1
