"""Tags as a row of a table has room for them: those that follow each other as "M1–M8"."""

import re
from dataclasses import dataclass

NUMBERED = re.compile(r"(.*?)(0|[1-9][0-9]{0,8})")
FEWEST = 3  # of two, both are as short


@dataclass(frozen=True, slots=True)
class TagRange:
    """Positions of which each has the tag after the one before it; or a single one."""

    positions: tuple

    @property
    def text(self):
        first, last = self.positions[0].tag, self.positions[-1].tag
        return first if first == last else f"{first}–{last}"


def tag_ranges(positions):
    """Positions in their order, as few ranges as that order allows."""
    runs = []
    for position in positions:
        if runs and _follows(runs[-1][-1].tag, position.tag):
            runs[-1].append(position)
        else:
            runs.append([position])
    return [
        TagRange(tuple(part))
        for run in runs
        for part in ([run] if len(run) >= FEWEST else [[position] for position in run])
    ]


def _follows(before, tag):
    first, second = NUMBERED.fullmatch(before), NUMBERED.fullmatch(tag)
    return bool(first and second and first[1] == second[1] and int(first[2]) + 1 == int(second[2]))
