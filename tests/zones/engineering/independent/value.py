"""What others found, beside what this register computes of the same figures.

Tags as everywhere: [S] published and seen, [S2] seen second-hand, [calc] worked by hand in the handbook from a formula
so marked. What is only from memory [M] or common practice [P] is compared elsewhere and is not counted here.
"""

import math
from typing import NamedTuple


class Value(NamedTuple):
    """One value: what it is of, what others found, within what they agree, its tag and source, what is computed.

    `looked_up`: the register has the same table, so that this only shows that it was copied well.
    """

    what: str
    theirs: float
    within: float
    tag: str
    source: str
    ours: float
    looked_up: bool = False

    @property
    def is_published(self):
        """Whether others published it, and the register computes it."""
        return self.tag in ("S", "S2") and not self.looked_up


def agrees(value):
    """Whether the register computes what others found."""
    return math.isclose(value.ours, value.theirs, rel_tol=0, abs_tol=value.within + 1e-9)
