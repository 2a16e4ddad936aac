"""Everything of a building that can be looked at or printed, in the order in which its papers are filed."""

from dataclasses import dataclass

from django.urls import reverse

from sites_registry.documents.papers import BUILDING, papers

WHOLE = "whole"
FILE_WORDS = {"pdf": "PDF", "svg": "SVG", "dxf": "DXF", "xlsx": "Spreadsheet"}


@dataclass(frozen=True)
class Line:
    """Where one paper is found: `of` says of what (a panel, a job), "" for the building; ways are (words, address)."""

    of: str
    ways: tuple


@dataclass(frozen=True)
class PapersOfKind:
    """One kind of paper on the page; `holds` says in a line what stands on it."""

    name: str
    holds: str
    lines: list
    anchor: str
    none: str


def papers_of(building, person, *, lines=None):
    """The papers of a building that a person may see.

    Args:     lines: by the key of a paper, its lines where a page knows them better, such as in parts.
    Returns:  [PapersOfKind, …]; papers of one title stand together. One query for each kind of thing they are of.
    """
    found, records = {}, {}
    for paper in papers().values():
        subject = paper.of
        if not paper.holds or subject.in_building is None or person.role not in paper.roles:
            continue
        if subject.word not in records:
            records[subject.word] = list(subject.in_building(building, person))
        own = (lines or {}).get(paper.key) or [line_of(paper, record) for record in records[subject.word]]
        listed = found.setdefault(paper.title, PapersOfKind(paper.title, paper.holds, [], paper.anchor, subject.none))
        listed.lines.extend(own)
    return [_told_apart(listed) for listed in found.values()]


def line_of(paper, record):
    """The ways to a paper of one record: its page, then its files."""
    arguments = [getattr(record, paper.of.lookup)]
    ways = [(paper.page_words, reverse(paper.page, args=arguments))] if paper.page else []
    ways += [
        (FILE_WORDS[file.extension], reverse(paper.url_name(file), args=arguments))
        for file in paper.files
        if not file.asks_first
    ]
    return Line(paper.of.name_of(record), tuple(ways))


def _told_apart(listed):
    """Beside a paper of each panel, that of the building says that it is of the whole."""
    if len(listed.lines) > 1 or listed.none != BUILDING.none:
        lines = [Line(line.of or WHOLE, line.ways) for line in listed.lines]
        return PapersOfKind(listed.name, listed.holds, lines, listed.anchor, listed.none)
    return listed
