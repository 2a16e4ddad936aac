"""What DEVELOPERS.md says of how to add something names only what there is."""

import re
from pathlib import Path

import pytest
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
HOW_TO_ADD = re.split(r"^## ", (ROOT / "DEVELOPERS.md").read_text(), flags=re.M)
LISTS = dict(re.findall(r"^- \*\*(A document|A state)\*\*(.*?)(?=^- \*\*)", "".join(HOW_TO_ADD), flags=re.M | re.S))
MOST_FILES = {"A document": 3, "A state": 1}


def files_named_in(text):
    return [name for name in re.findall(r"`([\w./]+)`", text) if "/" in name]


@pytest.mark.parametrize("what", MOST_FILES)
def test_each_file_that_a_checklist_names_exists(what):
    named = files_named_in(LISTS[what])
    assert named
    assert [name for name in named if not (ROOT / name).exists()] == []


@pytest.mark.parametrize("what", MOST_FILES)
def test_a_checklist_asks_for_no_more_files_than_it_may(what):
    steps = re.findall(r"^  (\d)\. ", LISTS[what], flags=re.M)
    assert len(steps or ["one"]) <= MOST_FILES[what]
