"""Rows in groups: what rows that follow each other have in common is said once above them, not in each."""

from itertools import groupby

FEWEST_ROWS = 3  # that a head is worth: fewer say it themselves, under whatever head they stand


def in_groups(rows, common):
    """Each row as (row, head, says_it): the head that stands above it, and whether the row says it itself.

    Args:     common: of a row, what it shares with its neighbours; None where it has nothing to say.
    """
    runs = [(shared, len(list(run))) for shared, run in groupby(filter(None, map(common, rows)))]
    lengths = iter([length for _, length in runs for _ in range(length)])
    grouped, standing = [], None
    for row in rows:
        shared, head = common(row), None
        if shared is not None and next(lengths) >= FEWEST_ROWS and shared != standing:
            head = standing = shared
        grouped.append((row, head, shared is not None and shared != standing))
    return grouped
