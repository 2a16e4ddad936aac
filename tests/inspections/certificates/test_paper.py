"""The certificate on paper: what the database says, readable by a person, by a machine and in twenty years."""

import json
import re
import shutil
import subprocess

import pikepdf
import pytest
from django.urls import reverse
from jsonschema import Draft202012Validator, FormatChecker

from inspections.certificates.document import certificate_pdf, check_address
from inspections.ledger.entering import issue_of
from inspections.ledger.seals import is_sealed
from tests import builders
from tests.evidence import rewrite
from tests.paper_text import text_of as paper_text


@pytest.fixture
def paper(town, tmp_path):
    builders.make_defect(town.hall, town.finished, severity="impaired", description="Vent V1 stuck half open.")
    visit = builders.make_finished_visit(town.hall, engineer=town.people["engineer"], job=builders.make_job(town.hall))
    certificate = builders.make_certificate(visit, town.people["office"])
    path = tmp_path / "certificate.pdf"
    path.write_bytes(certificate_pdf(certificate))
    return certificate, path


def text_of(path):
    return subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout


def test_it_states_number_building_client_limits_defect_and_signatures(paper):
    certificate, path = paper
    text = text_of(path)
    expected = (
        certificate.number,
        "Ropewalk Hall",
        "Quay Housing",
        "The system is impaired: 1 open defect impairing smoke control.",
        "Vent V1 stuck half open.",
        "Edwin Marsh",
        "Orla Finch",
        certificate.digest_sha256,
        "Sheet",
        "1 of",
    )
    assert [words for words in expected if words not in text] == []


def record_in(path, certificate):
    with pikepdf.open(path) as pdf:
        return json.loads(pdf.attachments[f"{certificate.number}.json"].get_file().read_bytes())


def test_the_statement_travels_inside_as_json(paper):
    certificate, path = paper
    assert record_in(path, certificate)["statement"] == certificate.statement


def test_the_record_inside_is_as_its_published_schema_says(paper, client):
    """JSON Schema, draft 2020-12, judged by the jsonschema library."""
    certificate, path = paper
    record = record_in(path, certificate)
    schema = json.loads(client.get(reverse("certificate-schema")).content)
    assert record["schema"].endswith(reverse("certificate-schema"))
    judge = Draft202012Validator(schema, format_checker=FormatChecker())
    judge.check_schema(schema)
    judge.validate(record)
    assert not judge.is_valid({**record, "ledger": {**record["ledger"], "digest_sha256": "none"}})


def test_it_bears_the_head_of_the_ledger_which_its_seal_proves(paper):
    certificate, path = paper
    entry, told = issue_of(certificate), record_in(path, certificate)["ledger"]
    assert entry.short in text_of(path)
    assert (told["entry"], told["digest_sha256"]) == (entry.number, entry.digest)
    assert is_sealed(told["digest_sha256"], told["seal_ed25519"], told["public_key_ed25519"])


def test_it_is_tagged_pdf_a_with_its_language_and_embedded_fonts(paper):
    _, path = paper
    with pikepdf.open(path) as pdf:
        assert str(pdf.Root.Lang) == "en-GB"
        assert "/StructTreeRoot" in pdf.Root and "/OutputIntents" in pdf.Root
        assert b"pdfaid" in pdf.Root.Metadata.read_bytes()


@pytest.mark.skipif(not shutil.which("qpdf"), reason="qpdf is not installed")
def test_its_syntax_is_sound(paper):
    _, path = paper
    assert subprocess.run(["qpdf", "--check", path], capture_output=True, check=False).returncode == 0


def test_the_same_certificate_gives_the_same_bytes(paper):
    certificate, path = paper
    assert certificate_pdf(certificate) == path.read_bytes()


def test_its_code_leads_to_the_public_check(paper, client):
    certificate, path = paper
    assert certificate.token in check_address(certificate)
    with pikepdf.open(path) as pdf:
        alternatives = [str(one.Alt) for one in pdf.objects if isinstance(one, pikepdf.Dictionary) and "/Alt" in one]
    assert alternatives == [f"Code that leads to {check_address(certificate)}"]
    assert client.get(f"/c/{certificate.token}/").status_code == 200


def test_what_is_wrong_and_what_was_not_tested_stand_before_the_list_of_readings(town):
    builders.make_defect(town.hall, town.finished, severity="impaired", description="Vent V1 stuck half open.")
    visit = builders.make_finished_visit(town.hall, engineer=town.people["engineer"], job=builders.make_job(town.hall))
    point = visit.test_points.first()
    type(point).objects.filter(pk=point.pk).update(quantity="age", unit="years")
    rewrite(type(point.latest_result).objects.filter(pk=point.latest_result_id), reading="3.08")
    text = paper_text(certificate_pdf(builders.make_certificate(visit, town.people["office"])))
    order = [
        text.index(words) for words in ("Vent V1 stuck half open.", "Exceptions: not tested", "Readings", "3.08 years")
    ]
    assert order == sorted(order)


def test_a_long_first_sheet_goes_on_to_the_next_and_nothing_is_cut(town):
    lost = [{"kind": "fault", "since": "2026-01-02", "place": "V1", "planned_end": "", "meanwhile": ""}] * 80
    named = [f"Measure-{n}" for n in range(80)]
    town.certificate.statement |= {
        "out_of_service": [row | {"what": f"Fault-{n}"} for n, row in enumerate(lost)],
        "conclusion": {"state": "impaired", "sentence": "Impaired.", "measures": [f"{one} of many." for one in named]},
    }
    pdf = certificate_pdf(town.certificate)
    assert set(named) | {f"Fault-{n}" for n in range(80)} <= words_above_the_title_block(pdf)


def test_a_name_without_a_blank_stays_beside_the_code(town):
    town.certificate.statement["building"]["name"] = "W" * 120
    pdf = certificate_pdf(town.certificate)
    boxes = subprocess.run(
        ["pdftotext", "-bbox", "-l", "1", "-", "-"], input=pdf, capture_output=True, check=True
    ).stdout.decode()
    ends = [float(x) for x, y in re.findall(r'xMax="([\d.]+)" yMax="([\d.]+)">W', boxes) if float(y) < 120]
    assert len(ends) > 1 and max(ends) < 460  # pt; the code begins at 470


def words_above_the_title_block(pdf):
    boxes = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
    ends = {float(y) for y in re.findall(r'yMin="([\d.]+)"[^>]*>Sheet</word>', boxes)}
    words = re.findall(r'yMax="([\d.]+)">([^<]+)</word>', boxes)
    return {word for y, word in words if float(y) < min(ends)}


def reading(tag, storey, **fields):
    said = {"reading": "24.1", "unit": "V", "limits": "21 to 28 V", "source": "EN 12101-10:2005", "verdict": "meets"}
    return {"tag": tag, "storey": storey, "check": "Supply", "quantity": "voltage", "note": "", **said, **fields}


def annex_of(town, readings):
    """The text of the paper from its heading of readings on."""
    town.certificate.statement |= {"readings": readings}
    return paper_text(certificate_pdf(town.certificate)).split(" Readings ")[-1]


def test_readings_stand_by_storey_those_of_one_check_and_limit_together(town):
    annex = annex_of(town, [*(reading(f"V{number}", "1") for number in range(1, 6)), reading("V9", "2")])
    assert "6 readings: 6 within the limits." in annex
    assert annex.index("Storey 1") < annex.index("Supply · 5 readings · 21 to 28 V [1]") < annex.index("V5")
    assert annex.index("V5") < annex.index("Storey 2") < annex.index("V9") < annex.index("[1] EN 12101-10:2005")


def test_what_lies_outside_its_limits_stands_first_and_is_marked_again_in_its_place(town):
    annex = annex_of(town, [reading("V1", "1"), reading("V2", "2", reading="30", verdict="outside", note="Too high.")])
    assert "1 outside, 1 within the limits" in annex
    assert annex.index("Outside the limits, or with a note") < annex.index("Too high.") < annex.index("Storey 1")
    assert annex.count("■ outside") == 2


def test_every_reading_of_the_statement_stands_in_the_annex(town):
    readings = [reading(f"V{n}-", str(n % 7), check=f"Check {n % 3}", limits=f"{n % 5} V") for n in range(200)]
    words = annex_of(town, readings).split()
    assert {row["tag"] for row in readings} <= set(words)


def test_a_statement_of_before_has_its_readings_without_storeys(town):
    old = {key: value for key, value in reading("V1", "").items() if key != "storey"}
    assert "V1" in annex_of(town, [old]) and "Storey" not in annex_of(town, [old])
