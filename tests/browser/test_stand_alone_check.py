"""The page that goes with a hand-over, opened from a disk: what it says of files that are whole, altered, strange."""

import io
import zipfile

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from inspections.hand_overs import collect
from inspections.hand_overs.check_page import NAME
from tests import builders


@pytest.fixture
def unpacked(town, as_, monkeypatch, tmp_path):
    monkeypatch.setattr(collect, "compose_paper", lambda hand_over, paper: f"%PDF {paper}".encode())
    job = builders.make_job(town.hall, kind="new")
    builders.make_attachment(job=job, name="plan.txt", content=b"Plan of the roof.", added_by=town.people["office"])
    begun = collect.begin_hand_over(job=job, to=town.people["manager"], by=town.people["office"])
    given = collect.put_together(hand_over=begun, seconds=60)
    response = as_("manager").get(reverse("hand-over-archive", args=[given.pk]))
    zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content))).extractall(tmp_path)
    return tmp_path


def open_page(new_context, unpacked):
    page = new_context(viewport={"width": 390, "height": 844}).new_page()
    page.goto((unpacked / NAME).as_uri())
    return page


def test_from_the_disk_it_tells_whole_from_altered_and_strange_files(new_context, unpacked):
    page = open_page(new_context, unpacked)
    expect(page.get_by_text("The list in this page is as it was sealed.")).to_be_visible()
    (plan,) = unpacked.glob("*/plan.txt")
    papers = sorted(path for path in unpacked.rglob("*.pdf") if path.parent != unpacked)
    papers[0].write_bytes(papers[0].read_bytes() + b" ")
    (unpacked / "strange.txt").write_bytes(b"Not of this hand-over.")
    page.get_by_label("Files", exact=True).set_input_files([plan, papers[0], unpacked / "strange.txt"])
    found = page.locator("#found tbody tr")
    expect(found).to_contain_text(["✓ As handed over: plan.txt", "✕ Not as handed over", "▲ None of the files"])
    expect(page.locator("#sum")).to_contain_text(f"1 of the {len(papers) + 1} files handed over seen unaltered")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_an_archive_as_it_was_unpacked_raises_no_alarm_and_what_is_left_out_is_named(new_context, unpacked):
    page = open_page(new_context, unpacked)
    whole = sorted(path for path in unpacked.rglob("*") if path.is_file())
    (left_out,) = unpacked.glob("*/plan.txt")
    page.get_by_label("Files", exact=True).set_input_files([path for path in whole if path != left_out])
    expect(page.locator("#sum")).to_contain_text("Not yet seen as handed over: 'plan.txt'.")
    expect(page.locator("#found")).to_contain_text("Goes with the archive")
    expect(page.locator("#found .other, #found .altered")).to_have_count(0)


def test_a_list_that_was_rewritten_breaks_its_seal(new_context, unpacked):
    text = (unpacked / NAME).read_text()
    (unpacked / NAME).write_text(text.replace('"job": "', '"job": "X', 1))
    page = open_page(new_context, unpacked)
    expect(page.get_by_text("was altered after it was sealed")).to_be_visible()
