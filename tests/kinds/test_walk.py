"""Every kind of device walks through the register: what is true of it at each station follows from its row alone.

A kind added to the table walks along by itself. No figure of any model is known here, so nothing may be said to be
within a limit.
"""

import io
import re
from html import unescape

import openpyxl
import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from inspections.protocols.edits import install_standard_protocols
from inspections.visits.edits import finish_visit, start_visit
from sites_registry.access import Role
from tests import builders
from tests.kinds.every_kind import make_every_kind, tag_of, zone_of
from zones.design_check.checked import checked_panel
from zones.device_lists.cells import read_kind
from zones.engineering.cause_and_effect.rules import ALARMS, AUTOMATIC_ALARMS, InputKind
from zones.engineering.findings import Severity
from zones.engineering.kind_facts import Run
from zones.engineering.wiring.patterns import default_pattern, read_pattern
from zones.labels.records import labels_of_devices
from zones.labels.words import CHOICES, LabelWords
from zones.models import DeviceKind, ProductModel
from zones.units.patterns import use_device_pattern

pytestmark = pytest.mark.django_db
OTHERS = [kind for kind in DeviceKind if kind != DeviceKind.CONTROL_PANEL]
WITH_UNIT = [kind for kind in DeviceKind if kind.facts.has_unit]


@pytest.fixture
def every(db):
    return make_every_kind()


@pytest.fixture
def office(client, db):
    client.force_login(builders.make_person(Role.OFFICE), backend="django.contrib.auth.backends.ModelBackend")
    return client


def text_of(response):
    assert response.status_code == 200
    content = b"".join(response) if response.streaming else response.content
    return unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", content.decode())))


def rows_of(response):
    content = b"".join(response) if response.streaming else response.content
    sheet = openpyxl.load_workbook(io.BytesIO(content)).active
    return [[str(cell) if cell is not None else "" for cell in row] for row in sheet.iter_rows(values_only=True)]


def test_record_each_kind_is_offered_by_its_name(every, office):
    at_a_position = text_of(office.get(reverse("position-create", args=[every.building.slug])))
    at_a_model = text_of(office.get(reverse("product-model-create")))
    for kind in DeviceKind:
        assert f" {kind.label} " in at_a_model, kind
        assert (f" {kind.label} " in at_a_position) == (kind != DeviceKind.CONTROL_PANEL), kind


def test_record_each_kind_says_what_it_is_and_which_figures_are_missing(every, office):
    lacking = set(ProductModel.objects.with_figures_missing())
    for kind in WITH_UNIT:
        model = ProductModel.objects.get(name=f"Plain {kind.value}")
        assert (model in lacking) == bool(kind.facts.needed_figures), kind
        page = text_of(office.get(reverse("product-model-detail", args=[model.pk]))).casefold()
        names = [str(ProductModel._meta.get_field(name).verbose_name) for name in kind.facts.needed_figures]
        assert model.missing_figures() == names, kind
        assert kind.label in page and all(name.partition(" (")[0].casefold() in page for name in names), kind
    for kind in OTHERS:
        assert kind.label in text_of(office.get(every.devices[kind].get_absolute_url())), kind


def test_import_each_kind_is_known_by_its_words(every):
    assert set(every.devices) == set(DeviceKind.values)
    for kind in DeviceKind:
        for word in (kind.label, kind.facts.tag_prefix, *kind.facts.import_words.words):
            assert read_kind(word.upper()) == kind == read_kind(f"{word}s"), word


def test_import_each_kind_is_put_on_the_run_it_belongs_on_and_missed_there_when_it_is_taken_off(every, office):
    address = reverse("panel-detail", args=[every.panel.pk])
    before = text_of(office.get(address))
    for kind in OTHERS:
        assert (every.devices[kind].detection_line is not None) == (kind.facts.belongs_on == Run.LINE), kind
        assert (every.devices[kind].actuator_circuit is not None) == kind.facts.moves_vents, kind
        assert every.devices[kind].tag in before, kind
    every.building.positions.update(detection_line=None, actuator_circuit=None)
    after = text_of(office.get(address))
    for run in (Run.LINE, Run.CIRCUIT):
        missed = sum(kind.facts.belongs_on == run for kind in OTHERS)
        at_each_and_together = missed + 1
        assert after.count(f"no {run}") == before.count(f"no {run}") + at_each_and_together, run


def test_design_check_what_is_not_known_is_never_within_a_limit(every):
    findings = checked_panel(every.panel).findings
    assert Severity.MISSING in {one.severity for one in findings}
    assert [one.sentence for one in findings if one.severity == Severity.MEETS] == []


def test_design_check_a_zone_lacks_what_its_kind_does_not_do(every):
    sentences = {
        one.subject: one.sentence for one in checked_panel(every.panel).findings if one.code == "consistency.zone"
    }
    assert len(sentences) == len(OTHERS)
    for kind in OTHERS:
        (said,) = [sentence for subject, sentence in sentences.items() if f"Zone of {kind.value}" in sentence]
        assert ("no vent" in said) == (not kind.facts.moves_vents), said
        assert ("no manual call point" in said) == (kind.facts.input_kind != InputKind.CALL_POINT), said
        assert ("no automatic detection" in said) == (kind.facts.input_kind not in AUTOMATIC_ALARMS), said


def test_design_check_the_standby_current_of_each_electronic_kind_is_missed(every):
    for kind in WITH_UNIT:
        ProductModel.objects.update(standby_current_a="0.001")
        ProductModel.objects.filter(name=f"Plain {kind.value}").update(standby_current_a=None)
        missed = [one.sentence for one in checked_panel(every.panel).findings if one.code == "supply.quiescent"]
        named = any(tag_of(kind) in sentence and "not known" in sentence for sentence in missed)
        assert named == kind.facts.is_electronic, (kind, missed)


def test_logic_each_kind_that_tells_the_panel_something_is_a_cause(every, office):
    office.post(reverse("usual-rules", args=[every.panel.pk]))
    matrix = text_of(office.get(reverse("rule-matrix", args=[every.panel.pk])))
    simulator = text_of(office.get(reverse("simulator", args=[every.panel.pk])))
    for kind in OTHERS:
        cause = re.search(rf"\b{tag_of(kind)}(: \w+)? {kind.label} ", matrix)
        assert bool(cause) == bool(kind.facts.input_kind), kind
        assert (f" {tag_of(kind)} " in simulator) >= bool(kind.facts.input_kind), kind
        opens = every.panel.rules.filter(position=every.devices[kind], effect="O").exists()
        assert opens or kind.facts.input_kind not in ALARMS, kind


def wire_each(every):
    """The terminals of each device by the usual pattern of its kind, and a core of the panel at the first."""
    for kind in OTHERS:
        device = every.devices[kind]
        try:
            use_device_pattern(position=device)
        except ValidationError:
            assert not kind.facts.patterns, kind
        first = device.terminals.order_by("pk").first() or builders.make_terminal(position=device)
        core = builders.make_core(builders.make_cable(every.building))
        builders.connect(core, builders.make_terminal(every.panel), first)


def test_wiring_each_kind_has_the_terminals_of_its_usual_pattern(every, office):
    wire_each(every)
    for kind in OTHERS:
        page = text_of(office.get(reverse("device-terminal-list", args=[every.devices[kind].pk])))
        for terminal in read_pattern(default_pattern(kind)).terminals:
            assert f"-{terminal.name}" in page, (kind, terminal.name)
    assert "incomplete" in text_of(office.get(reverse("panel-wiring", args=[every.panel.pk]))).lower()


def test_drawings_each_kind_has_its_symbol(every, office):
    wire_each(every)
    diagram = drawn(office, "wiring-diagram", every)
    overview = drawn(office, "zone-overview", every)
    for kind in OTHERS:
        words = kind.value.replace("_", " ")
        (box,) = re.findall(
            rf"<g class=\"d-device\"[^>]*>\s*<title>{tag_of(kind)}, {words}</title>.*?</g>", diagram, re.S
        )
        letter = re.search(r'class="d-letter"[^>]*>(\w)<', box)
        assert (letter[1] if letter else "") == kind.facts.symbol.letter, kind
        assert 'class="d-glyph"' in box, kind
        assert (f"<title>{words}: {tag_of(kind)}</title>" in overview) == bool(kind.facts.input_kind), kind


def drawn(office, name, every):
    response = office.get(reverse(f"{name}-svg", args=[every.panel.pk]))
    return (b"".join(response) if response.streaming else response.content).decode()


def test_schedules_each_kind_is_listed_and_counted(every, office):
    slug = every.building.slug
    devices = {row[1]: row for row in rows_of(office.get(reverse("device-schedule-xlsx", args=[slug])))}
    table = rows_of(office.get(reverse("zone-schedule-xlsx", args=[slug])))
    headings = next(row for row in table if row[0] == "Zone")
    zones = {row[0]: dict(zip(headings, row, strict=True)) for row in table}
    for kind in DeviceKind:
        assert kind.label in devices[tag_of(kind)], kind
    for kind in OTHERS:
        column = kind.facts.schedule_column
        counted = column.heading if column else "Other devices"
        assert zones[str(zone_of(kind))][counted] == "1", kind


def test_schedules_each_kind_is_ordered_and_has_its_label(every, office):
    job = builders.make_job(every.building)
    ordered = text_of(office.get(reverse("job-materials", args=[job.number])))
    for kind in WITH_UNIT:
        assert (f"Plain {kind.value} " in ordered) == kind.facts.is_ordered, kind
    for language, _ in CHOICES:
        words = LabelWords(language)
        labels = {label.tag: label.lines for label in labels_of_devices(every.building.positions.in_use(), words)}
        for kind in OTHERS:
            assert words(kind.label) in labels[tag_of(kind)], (language, kind)


def test_certificate_each_kind_is_counted_and_either_tested_or_named_as_not_tested(every, office):
    install_standard_protocols()
    engineer = builders.make_person(Role.ENGINEER)
    visit = start_visit(visit=builders.make_visit(every.building, engineer=engineer), started_by=engineer)
    for point in visit.test_points.all():
        builders.make_result(point, engineer)
    certificate = builders.make_certificate(finish_visit(visit=visit, finished_by=engineer))
    said, page = certificate.statement, text_of(office.get(certificate.get_absolute_url()))
    counts = {row["kind"]: row["number"] for row in said["system"]["counts"]}
    tested = {row["kind"]: row["positions"] for row in said["tested"]}
    for kind in DeviceKind:
        assert counts[kind.label] == 1 and kind.label in page, kind
        was_asked = visit.test_points.filter(position__kind=kind).exists()
        assert tested.get(kind.label) == (1 if was_asked else None), kind
        is_named = tag_of(kind) in said["not_tested_for_12_months"]
        assert is_named == (kind.facts.has_unit and not was_asked), kind
