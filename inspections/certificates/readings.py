"""The readings of a certificate as its page shows them: by check, the source of each limit once, under its number.

The paper keeps one row a reading with its source beside it; the words are the same.
"""

from collections import Counter
from dataclasses import dataclass
from itertools import groupby


@dataclass(frozen=True)
class ReadingRow:
    """Readings of a check that follow each other and say the same, but for the tag; `source` is the number of it."""

    tags: tuple
    says: dict
    source: int | None


@dataclass(frozen=True)
class CheckReadings:
    """All readings of one check: rows, and what is said of them while they are folded."""

    name: str
    rows: list

    @property
    def number(self):
        return sum(len(row.tags) for row in self.rows)

    @property
    def limits(self):
        """The limits in words: those of all readings, or that each has its own."""
        said = {row.says["limits"] for row in self.rows}
        return "limits of each" if len(said) > 1 else said.pop() or "no limits"

    @property
    def verdicts(self):
        """[(verdict, how many readings)], the commonest first."""
        counts = Counter()
        for row in self.rows:
            counts[row.says["verdict"]] += len(row.tags)
        return counts.most_common()

    @property
    def to_be_seen(self):
        """The rows outside their limits, and those with a note."""
        return [row for row in self.rows if row.says["verdict"] == "outside" or row.says["note"]]


@dataclass(frozen=True)
class ReadingsByCheck:
    """`checks`: [CheckReadings]; `sources`: texts, the first has the number 1."""

    checks: list
    sources: list

    @property
    def to_be_seen(self):
        """[(check, [ReadingRow])]: what stands before everything else, for no reader may miss it."""
        return [(check.name, check.to_be_seen) for check in self.checks if check.to_be_seen]


def by_check(statement):
    """The readings of a certificate's statement in the order of their checks, each reading once."""
    checks, sources = {}, {}
    for row in statement.get("readings") or ():
        checks.setdefault(row["check"], []).append(row)
    shown = []
    for check, rows in checks.items():
        parts = [list(part) for _, part in groupby(rows, key=_without_tag)]
        shown.append(CheckReadings(check, [_row_of(part, sources) for part in parts]))
    return ReadingsByCheck(checks=shown, sources=list(sources))


def _without_tag(row):
    return {name: value for name, value in row.items() if name not in ("tag", "storey")}


def _row_of(rows, sources):
    says = rows[0]
    has_source = says.get("source") and says["limits"]
    number = sources.setdefault(says["source"], len(sources) + 1) if has_source else None
    return ReadingRow(tags=tuple(row["tag"] for row in rows), says=says, source=number)
