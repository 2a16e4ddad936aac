"""The design check of a panel and a building on screen, and the runs of a circuit entered along its devices."""

import re
from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from tests.zones.installations import make_installation, set_figure
from zones.models import Cable, DetectionLine, DeviceKind

pytestmark = pytest.mark.django_db
BUILDING = "/buildings/ropewalk-hall/design-check/"


@pytest.fixture
def made(town, shared, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda: date(2026, 3, 2))
    return shared.built(installation_at_the_hall, town)


def installation_at_the_hall(town):
    return make_installation(town.hall, tag="P7")


def page_of(made):
    return reverse("panel-design-check", args=[made.panel.pk])


def text_of(response):
    return " ".join(re.sub(r"<[^>]+>", " ", response.content.decode()).replace("\xa0", " ").split())


def test_a_clean_panel_says_that_nothing_is_to_be_acted_on(as_, made):
    text = text_of(as_("engineer").get(page_of(made)))
    assert "Nothing to act on: every check that was made is within the entered limit." in text
    assert "compliant" not in text.lower()


def test_every_finding_shows_sentence_figures_formula_and_source_with_edition(as_, made):
    text = text_of(as_("engineer").get(page_of(made) + "?severity=all"))
    assert "P7M1.2 gets" in text
    assert "V at the end of battery discharge, while starting" in text
    assert "Minimum voltage 18 V" in text
    assert "voltage at the actuator = source - sum over the route" in text
    assert "IEC 60228:2004, tables 1 to 3 (second-hand)" in text
    assert "Compare with the document." in text


def test_where_the_voltage_is_why_the_battery_is_not_known_panel_and_finding_say_so_and_lead_to_the_cable(as_, made):
    Cable.objects.filter(tag__startswith="P7W").update(length_m=300)
    set_figure(made.models[DeviceKind.ACTUATOR], lower_voltage_v=None, lower_speed_mm_s=None)
    response = as_("engineer").get(page_of(made) + "?severity=missing")
    lines = [line for group in response.context["groups"] for line in group.lines]
    line = next(one for one in lines if one.finding.code == "battery.capacity")
    assert line.word == "Cable runs of Circuit 1"
    assert reverse("circuit-cables", args=[made.circuits[0].pk]) in line.url
    panel = text_of(as_("engineer").get(made.panel.get_absolute_url()))
    assert "enough voltage at P7M1.2" in panel
    assert "motor time of one operation" not in panel


def test_a_row_says_figure_limit_and_margin_of_the_voltage_that_decides(as_, made):
    Cable.objects.filter(tag__startswith="P7W").update(length_m=300)
    response = as_("engineer").get(page_of(made) + "?severity=fail")
    line = next(line for line in response.context["groups"][0].lines if line.finding.code == "cable.voltage")
    gets, below, least = re.search(
        r"gets ([\d.]+) V .*, ([\d.]+) V below its minimum of ([\d.]+) V", line.sentence.replace("\xa0", " ")
    ).groups()
    row = f"{gets} V ≥ {least} V −{below} V"
    assert row in text_of(response)


def test_a_compared_figure_is_not_met_where_its_margin_is_below_nought(as_, made):
    Cable.objects.filter(tag__startswith="P7W").update(length_m=300)
    response = as_("engineer").get(page_of(made) + "?severity=all")
    findings = [line.finding for group in response.context["groups"] for line in group.lines if line.compared]
    judged = [one for one in findings if one.severity in ("fail", "meets")]
    assert {"cable.voltage", "supply.panel", "battery.current"} <= {one.code for one in judged}
    assert {one.code for one in judged if one.compared.margin < 0} == {
        one.code for one in judged if one.severity == "fail"
    }


def test_the_worst_comes_first_and_the_counts_stand_on_top(as_, made):
    Cable.objects.filter(tag__startswith="P7W").update(length_m=300)
    response = as_("engineer").get(page_of(made) + "?severity=all")
    severities = [line.finding.severity for line in response.context["groups"][0].lines]
    assert severities == sorted(severities, key=["fail", "missing", "question", "meets", "note"].index)
    assert severities[0] == "fail"
    boxes = {severity: number for severity, _, _, number, _ in response.context["boxes"]}
    assert sum(boxes.values()) == response.context["total"]
    assert boxes["fail"] == 2


@pytest.mark.parametrize("severity", ["fail", "missing", "question", "meets", "note"])
def test_the_address_filters_by_severity(as_, made, severity):
    set_figure(made.models[DeviceKind.CONTROL_PANEL], charger_current_a=None)
    response = as_("engineer").get(page_of(made) + f"?severity={severity}")
    shown = {str(line.finding.severity) for group in response.context["groups"] for line in group.lines}
    assert shown <= {severity}


@pytest.mark.parametrize("typed", ["", "nonsense", "x" * 3000, "%00"])
def test_an_unknown_filter_shows_what_there_is_to_act_on(as_, made, typed):
    assert as_("engineer").get(page_of(made) + f"?severity={typed}").context["chosen"] == "act"


@pytest.mark.parametrize(
    ("kind", "field", "target"),
    [
        (DeviceKind.ACTUATOR, "rated_current_a", "product-model-update"),
        (DeviceKind.SMOKE_DETECTOR, "alarm_resistance_ohm", "product-model-update"),
        (DeviceKind.CONTROL_PANEL, "own_voltage_drop_v", "panel-update"),
        (DeviceKind.CONTROL_PANEL, "output_limit_a", "circuit-update"),
        (DeviceKind.BATTERY, "capacity_ah", "battery-set-update"),
    ],
)
def test_a_missing_figure_leads_to_the_form_where_it_is_entered_and_back(as_, made, kind, field, target):
    set_figure(made.models[kind], **{field: None})
    response = as_("office").get(page_of(made))
    urls = [line.url for group in response.context["groups"] for line in group.lines]
    keys = {
        "product-model-update": made.models[kind].pk,
        "panel-update": made.panel.pk,
        "circuit-update": made.circuits[0].pk,
        "battery-set-update": made.panel.battery_sets.get().pk,
    }
    wanted = reverse(target, args=[keys[target]])
    assert any(url.startswith(f"{wanted}?next=") for url in urls)
    assert as_("office").get(next(url for url in urls if url.startswith(wanted))).status_code == 200


def test_every_way_of_a_bare_installation_opens(as_, town, made):
    """Whatever figure is missing: the link leads to a page that this person may open."""
    bare = builders.make_panel(town.hall, tag="P9")
    zone = builders.make_zone(town.hall, bare, number=9)
    vent = builders.make_vent(zone, tag="V9")
    circuit, line = builders.make_circuit(bare, number=1), builders.make_line(bare, number=1)
    model = builders.make_product_model(DeviceKind.ACTUATOR)
    builders.make_position(
        town.hall,
        "actuator",
        tag="M9",
        actuator_circuit=circuit,
        panel=bare,
        smoke_zone=zone,
        vent=vent,
        product_model=model,
    )
    builders.make_position(town.hall, tag="SD9", detection_line=line, panel=bare, smoke_zone=zone)
    for person in ("engineer", "office"):
        client = as_(person)
        groups = client.get(reverse("panel-design-check", args=[bare.pk])).context["groups"]
        urls = {line.url for group in groups for line in group.lines if line.url} | {group.url for group in groups}
        assert len(urls) >= 6
        assert {client.get(url).status_code for url in urls} == {200}


def test_the_basis_says_that_it_borrows_factor_and_d(as_, made):
    words = "Ageing factor and D are from BS 5839-1:2025, because EN 12101-10:2005 prints no formula"
    for page in (page_of(made), BUILDING):
        assert words in text_of(as_("manager").get(page))


def test_a_basis_with_a_formula_of_its_own_borrows_nothing(as_, made):
    made.building.design_basis.__class__.objects.update(standby_basis="bs-5839-1-2025")
    text = text_of(as_("engineer").get(page_of(made)))
    assert "Standby battery sized by BS 5839-1:2025" in text
    assert "Ageing factor and D are from" not in text


def test_the_page_says_what_a_meter_at_the_terminals_must_read(as_, made):
    """10 kilohm within 1 % and the cable of the test installation: Ohm's law, as the locating page says."""
    response = as_("engineer").get(page_of(made))
    located = text_of(as_("engineer").get(reverse("line-locate-fault", args=[made.panel.pk, 1])))
    reads = response.context["meters"][0].reads
    assert reads.endswith("kΩ")
    assert f"When all is well, a meter reads {reads}." in located
    assert f"Line 1 {reads} Locate a fault on line 1" in text_of(response)


def test_a_reading_that_the_record_cannot_tell_is_not_known(as_, made):
    DetectionLine.objects.update(end_of_line_ohm=None)
    text = text_of(as_("engineer").get(page_of(made)))
    assert re.search(r"Line 1 \S* ?not known Locate a fault on line 1", text)


def test_a_manager_reads_what_a_meter_must_read_and_locates_nothing(as_, made):
    text = text_of(as_("manager").get(page_of(made)))
    assert "A meter must read" in text
    assert "Locate a fault" not in text


def test_a_manager_reads_the_findings_without_links_to_forms(as_, made):
    set_figure(made.models[DeviceKind.ACTUATOR], rated_current_a=None)
    response = as_("manager").get(page_of(made))
    assert "Rated current of P7M1.1 and P7M1.2 not known" in text_of(response)
    assert not any(line.url for group in response.context["groups"] for line in group.lines)
    assert "Design basis" not in text_of(response)


def test_the_page_follows_an_edit_at_once(as_, made):
    client = as_("engineer")
    assert client.get(page_of(made)).context["groups"] == []
    Cable.objects.filter(tag="P7W1.1").update(length_m=None)
    assert "Length of P7W1.1 not known" in text_of(client.get(page_of(made)))


def test_the_building_shows_each_panel_and_what_belongs_to_none(as_, town, made):
    text = text_of(as_("engineer").get(BUILDING))
    assert "Panel P1" in text
    assert "Battery set not known: battery of P1 not checked" in text
    assert "Zones are not numbered" not in text
    builders.make_zone(town.hall, number=5, name="Attic")
    text = text_of(as_("engineer").get(BUILDING))
    assert "Panel of zone 5 Attic not known" in text
    assert "zones are not numbered one after another: number 3 is missing" in text


def test_a_building_without_anything_says_what_is_missing(as_, town):
    empty = builders.make_building(town.quay_housing)
    text = text_of(as_("office").get(reverse("building-design-check", args=[empty.slug])))
    assert "Control panel not known" in text


def test_a_panel_without_records_is_told_as_not_known(as_, town):
    response = as_("office").get(reverse("panel-design-check", args=[town.panel.pk]))
    assert response.status_code == 200
    assert "not known" in text_of(response)


# Cable runs along the devices -------------------------------------------------------------------------------------


@pytest.fixture
def runs(town):
    """Circuit 1 of P1 with M1 and M2 and no cable yet; returns the circuit and its two actuators."""
    circuit = builders.make_circuit(town.panel, number=1)
    drives = [
        builders.make_position(town.hall, "actuator", tag=f"M{k}", actuator_circuit=circuit, order_on_line=k)
        for k in (1, 2)
    ]
    return circuit, drives


def typed(drives, lengths, **fields):
    rows = {}
    for drive, length in zip(drives, lengths, strict=True):
        rows |= {f"tag_{drive.pk}": f"W-{drive.tag}", f"length_{drive.pk}": length}
    return {"area_mm2": "2.5", "conductor_class": "2", **rows, **fields}


def test_runs_are_entered_along_the_devices_and_loop_through(as_, runs):
    circuit, drives = runs
    url = reverse("circuit-cables", args=[circuit.pk])
    assert as_("engineer").post(url, typed(drives, ("12.5", "6"))).status_code == 302
    rows = Cable.objects.order_by("pk").values_list("tag", "length_m", "area_mm2", "feeds__tag", "upstream__tag")
    assert list(rows) == [("W-M1", 12.5, 2.5, "M1", None), ("W-M2", 6, 2.5, "M2", "W-M1")]


def test_a_device_without_a_length_gets_no_cable(as_, runs):
    circuit, drives = runs
    as_("engineer").post(reverse("circuit-cables", args=[circuit.pk]), typed(drives, ("12.5", "")))
    assert [cable.tag for cable in Cable.objects.all()] == ["W-M1"]


def test_the_same_page_changes_the_runs_and_leaves_others_alone(as_, runs):
    circuit, drives = runs
    url, client = reverse("circuit-cables", args=[circuit.pk]), as_("engineer")
    client.post(url, typed(drives, ("12.5", "6")))
    seen = {f"seen_{cable.feeds_id}": cable.row_version for cable in Cable.objects.all()}
    assert client.post(url, typed(drives, ("12.5", "7"), **seen)).status_code == 302
    assert list(Cable.objects.order_by("pk").values_list("length_m", "row_version")) == [(12.5, 0), (7, 1)]


def test_runs_changed_meanwhile_are_told_and_nothing_is_stored(as_, runs):
    circuit, drives = runs
    url, client = reverse("circuit-cables", args=[circuit.pk]), as_("engineer")
    client.post(url, typed(drives, ("12.5", "6")))
    response = client.post(url, typed(drives, ("99", "99")))  # as a page opened before the runs were there
    assert response.status_code == 422
    assert "was changed meanwhile. Open the page again." in text_of(response)
    assert list(Cable.objects.order_by("pk").values_list("length_m", flat=True)) == [12.5, 6]


@pytest.mark.parametrize(
    ("length", "sentence"),
    [
        ("25000", "Typed in mm? 25000 mm is 25 m."),
        ("0", "0 is not possible"),
        ("NaN", "Enter a number"),
        ("1e999", "Ensure"),
        ("-3", "-3 is not possible"),
        ("x\0", "Null characters"),
    ],
)
def test_a_length_that_cannot_be_is_told_at_its_row_and_no_run_is_stored(as_, runs, length, sentence):
    circuit, drives = runs
    response = as_("engineer").post(reverse("circuit-cables", args=[circuit.pk]), typed(drives, ("12", length)))
    assert response.status_code == 422
    assert response.context["form"].errors[f"length_{drives[1].pk}"]
    assert not Cable.objects.exists()


def test_a_tag_in_use_is_told_at_its_row(as_, town, runs):
    circuit, drives = runs
    builders.make_cable(town.hall, tag="W-M2")
    response = as_("engineer").post(reverse("circuit-cables", args=[circuit.pk]), typed(drives, ("12", "6")))
    assert response.status_code == 422
    assert "already" in " ".join(response.context["form"].errors[f"tag_{drives[1].pk}"])
    assert Cable.objects.count() == 1


def test_the_part_in_the_fire_is_at_most_the_length(as_, runs):
    circuit, drives = runs
    hot = {f"hot_{drives[0].pk}": "13"}
    response = as_("engineer").post(reverse("circuit-cables", args=[circuit.pk]), typed(drives, ("12", "6"), **hot))
    assert "at most the length of the cable" in text_of(response)
    assert not Cable.objects.exists()


def test_beside_the_runs_stands_what_the_check_says_of_what_is_stored(as_, made):
    circuit, client = made.circuits[0], as_("engineer")
    url = reverse("circuit-cables", args=[circuit.pk])
    assert "nothing to act on" in text_of(client.get(url))
    circuit.cables.update(length_m=300)
    response = client.get(url)
    assert response.context["answer"].key == "not_met"
    assert "below its minimum of 18 V" in text_of(response)


def test_beside_the_runs_of_a_line_stands_its_resistance(as_, made):
    response = as_("engineer").get(reverse("line-cables", args=[made.lines[0].pk]))
    assert response.context["answer"].heading == "Resistance at rest"


def test_saved_runs_lead_to_the_page_of_their_circuit(as_, runs):
    circuit, drives = runs
    response = as_("engineer").post(reverse("circuit-cables", args=[circuit.pk]), typed(drives, ("12.5", "6")))
    assert response.url == circuit.get_absolute_url()


def test_lines_have_their_own_page_with_their_devices(as_, town):
    line = builders.make_line(town.panel, number=4)
    detector = builders.make_position(town.hall, tag="SD4", detection_line=line, order_on_line=1)
    url = reverse("line-cables", args=[line.pk])
    assert "W1.L4-1" in as_("engineer").get(url).content.decode()
    as_("engineer").post(url, {f"tag_{detector.pk}": "L4-1", f"length_{detector.pk}": "20"})
    assert Cable.objects.get().detection_line == line


def test_a_circuit_without_devices_says_what_comes_first(as_, town):
    circuit = builders.make_circuit(town.panel, number=8)
    text = text_of(as_("engineer").get(reverse("circuit-cables", args=[circuit.pk])))
    assert "No device is on it yet" in text
