"""The registry of papers: what each is of, who may see it, what it is called, how it is made.

A paper is a module that makes it and an entry in the `paper_entries.py` of its app. Its addresses, the page of papers,
hand-overs and the tests of access and queries find it here.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from importlib import import_module
from operator import attrgetter

from django.apps import apps
from django.core.exceptions import ImproperlyConfigured
from django.http import Http404, QueryDict
from django.utils import timezone
from django.utils.module_loading import module_has_submodule

from sites_registry.access import Role
from sites_registry.downloads import file_name
from sites_registry.models import Building, Job
from sites_registry.spreadsheets import XLSX_TYPE

MEDIA_TYPES = {
    "pdf": "application/pdf",
    "svg": "image/svg+xml; charset=utf-8",
    "dxf": "image/vnd.dxf",
    "xlsx": XLSX_TYPE,
}
EVERYBODY = tuple(Role)


@dataclass(frozen=True, kw_only=True)
class Subject:
    """What a paper is of.

    `records(person)` are those that the person may see; nothing else decides it. `in_building(building, person)` are
    those whose papers the page of a building lists, with `none` where there is none; without it, it lists none.
    """

    word: str
    address: str  # "panels/<int:pk>/"; its variable is a field of the record
    lookup: str
    records: Callable
    building_of: Callable = attrgetter("building")
    name_of: Callable = str
    in_building: Callable | None = None
    none: str = ""


BUILDING = Subject(
    word="building",
    address="buildings/<slug:slug>/",
    lookup="slug",
    records=lambda person: Building.objects.visible_to(person).with_client(),
    building_of=lambda building: building,
    name_of=lambda building: "",
    in_building=lambda building, person: [building],
)
JOB = Subject(
    word="job",
    address="jobs/<slug:number>/",
    lookup="number",
    records=lambda person: Job.objects.visible_to(person).with_building(),
    name_of=attrgetter("number"),
    in_building=lambda building, person: (
        Job.objects.visible_to(person).open().filter(building=building).order_by("number")
    ),
    none="No job is open.",
)


@dataclass(frozen=True)
class PaperRequest:
    """Who asks for a paper, when, and what the address says more."""

    by: object
    now: datetime
    query: QueryDict


@dataclass(frozen=True)
class Made:
    """A paper as it is given out; `words` and `mark` go into the file's name where they are not the usual ones.

    `is_blank`: nothing is recorded that would stand on it, so nobody is handed it over.
    """

    content: bytes
    words: str = ""
    mark: str = ""
    is_blank: bool = False


class NothingToShow(Http404):
    """Nothing is recorded that could stand on it, or its address asks for what is not there."""


class SeePage(Exception):
    """The paper cannot be made as it was asked for; the page at `url` and the sentences say what to do."""

    def __init__(self, url, *sentences):
        super().__init__(*sentences)
        self.url, self.sentences = url, sentences


@dataclass(frozen=True, kw_only=True)
class File:
    """One form of a paper. `make(record, asked)` returns a Made, or raises NothingToShow or SeePage.

    `asks_first`: what stands on it is chosen on a page, so no list leads to it straight.
    """

    make: Callable
    extension: str = "pdf"
    url_name: str = ""
    address: str = ""
    asks_first: bool = False


@dataclass(frozen=True, kw_only=True)
class Paper:
    """One kind of paper.

    `holds` says in a line what stands on it; `page` is the name of the page that shows it on screen. `words` begin the
    name of its files (the title unless given). `folder` is where it lies in a hand-over, "" where it is none of it;
    `make_handed_over` makes it for that where its first file does not. `filed` is its place among all papers.
    """

    key: str
    title: str
    of: Subject
    files: tuple = ()
    holds: str = ""
    page: str = ""
    page_words: str = "On screen"
    roles: tuple = EVERYBODY
    words: str = ""
    folder: str = ""
    make_handed_over: Callable | None = None
    anchor: str = ""
    filed: int = 1_000

    def url_name(self, file):
        return file.url_name or f"{self.key}-{file.extension}"

    def address(self, file):
        return self.of.address + (file.address or f"{self.key}.{file.extension}")

    def make_for_hand_over(self, record, asked):
        """The bytes of it, or None where there is nothing to hand over."""
        try:
            made = (self.make_handed_over or self.files[0].make)(record, asked)
        except (NothingToShow, SeePage):
            return None
        return None if made.is_blank else made.content

    def name_of(self, file, record, made, asked):
        """The name under which a person keeps it: "Ropewalk-Hall_design-check-p1_2026-11-25.pdf"."""
        words = made.words or f"{self.words or self.title} {self.of.name_of(record)}".strip()
        mark = made.mark or f"{timezone.localtime(asked.now):%Y-%m-%d}"
        return file_name(self.of.building_of(record), words, mark, file.extension)


@cache
def papers():
    """Every paper by its key, in the order in which papers are filed.

    Raises:   ImproperlyConfigured: two papers share a key.
    """
    entered = {}
    with_papers = [app for app in apps.get_app_configs() if module_has_submodule(app.module, "paper_entries")]
    entries = [paper for app in with_papers for paper in import_module(f"{app.name}.paper_entries").PAPERS]
    for paper in sorted(entries, key=attrgetter("filed")):
        if entered.setdefault(paper.key, paper) is not paper:
            raise ImproperlyConfigured(f"Two papers have the key {paper.key!r}. Give one of them another.")
    return entered
