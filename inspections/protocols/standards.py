"""Which standards the checks of a visit cite, read from the source that each check names.

A source is typed in words: "EN 12101-2:2017 (open within 60 s), second-hand", "common practice; the maker's figure
wins". What stands here names a standard as such texts name it, and says how it is known as the text says it.
"""

import re
from dataclasses import dataclass, field

_BODY = r"(?:BS EN ISO|BS EN IEC|BS EN|BS ISO|BS|DIN EN ISO|DIN EN|DIN VDE|DIN|EN ISO|EN IEC|EN|VDE|ISO|IEC|IEEE|NFPA)"
_STANDARD = re.compile(
    rf"\b(?P<name>{_BODY} \d+(?:-\d+)*)(?::(?P<edition>\d{{4}}))?"
    r"(?:,? (?P<clause>(?:cl\.|clause|annex|table|reg\.) ?[\w.]*\w))?"
)
HOW_KNOWN = ("second-hand", "from memory", "to be verified against the document")


@dataclass(frozen=True, slots=True)
class Citation:
    """A standard as a source names it; `how_known` is "" where the document itself was read."""

    name: str
    edition: str
    clause: str
    how_known: str

    @property
    def designation(self):
        return f"{self.name}:{self.edition}" if self.edition else self.name

    @property
    def words(self):
        return " ".join(filter(None, [self.designation, self.clause]))


def citations_in(text):
    """The standards that a text names, in its order."""
    found = list(_STANDARD.finditer(text))
    # What is said of a standard stands between it and the next one.
    ends = [*(one.start() for one in found[1:]), len(text)][: len(found)]
    return [
        Citation(
            name=one["name"],
            edition=one["edition"] or "",
            clause=one["clause"] or "",
            how_known=next((how for how in HOW_KNOWN if how in text[one.end() : end]), ""),
        )
        for one, end in zip(found, ends, strict=True)
    ]


@dataclass
class _Cited:
    citation: Citation
    titles: list = field(default_factory=list)


def standards_of(points):
    """What the checks of a visit rest on, as plain data for a statement.

    Args:     points: test points with their position; a check asked of many devices of a kind counts once.
    Returns:  {"cited": [{"standard", "name", "known", "checks"}], "checks", "practice", "without_source"}.
    """
    checks = {(point.position.kind, point.code): point for point in points}.values()
    cited, practice, without = {}, 0, 0
    for check in checks:
        citations = citations_in(check.limit_source)
        for citation in citations:
            titles = cited.setdefault(citation, _Cited(citation)).titles
            if check.title not in titles:
                titles.append(check.title)
        if not citations:
            practice, without = practice + bool(check.limit_source), without + (not check.limit_source)
    rows = sorted(cited.values(), key=lambda one: one.citation.words)
    return {
        "cited": [
            {
                "standard": one.citation.words,
                "name": one.citation.name,
                "known": one.citation.how_known,
                "checks": one.titles,
            }
            for one in rows
        ],
        "checks": len(checks),
        "practice": practice,
        "without_source": without,
    }


def cited_in_words(standards):
    """The standards that checks cite as one line: "EN 12101-2:2017 (second-hand); IEEE 1188"."""
    rows = [f"{row['standard']} ({row['known']})" if row["known"] else row["standard"] for row in standards["cited"]]
    return "; ".join(rows) or "none"


def cited_in_lines(standards):
    """What the checks of a visit rest on, a line each; `standards` as of `standards_of`, also out of a statement."""
    lines = [
        f"{row['standard']}{', ' + row['known'] if row['known'] else ''}: {', '.join(row['checks'])}"
        for row in standards["cited"]
    ] or ["None."]
    if number := standards["practice"]:
        rest = "checks rest" if standards["checks"] > 1 else "check rests"
        lines.append(f"{number} of {standards['checks']} {rest} on common practice, without a standard.")
    if standards["without_source"]:
        lines.append(f"{standards['without_source']} without a source.")
    return lines


def is_cited(named, standards):
    """Whether a check cites one of the standards that a text names; None when the text names none that can be read."""
    names = {citation.name for citation in citations_in(named)}
    return bool(names & {row["name"] for row in standards["cited"]}) if names else None
