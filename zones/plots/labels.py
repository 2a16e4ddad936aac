"""Placing texts on paper so that none lies over another.

Widths are estimated from the letters, on the large side: no font is asked, the same on every machine.
"""

from collections.abc import Sequence
from itertools import pairwise

TEXT_SIZE = 11.0
LINE_PITCH = 12.0  # from one line of small text to the next
_NARROW, _WIDE = frozenset("iljtfrI.,:;'|!()[]·- "), frozenset("mwMWQO@%Ω→…")


def text_width(text: str, size: float = TEXT_SIZE) -> float:
    """About how wide a text is on paper, in the unit of `size`; rather too wide than too narrow."""
    widths = (
        0.36 if c in _NARROW else 0.92 if c in _WIDE else 0.72 if c.isupper() else 0.68 if c.isdigit() else 0.62
        for c in text
    )
    return size * sum(widths)


def shortened(text: str, room: float, size: float = TEXT_SIZE) -> str:
    """The text, or as much of it as there is room for, with an ellipsis."""
    if text_width(text, size) <= room:
        return text
    while text and text_width(text + "…", size) > room:
        text = text[:-1]
    return text.rstrip() + "…"


def spread(wanted: Sequence[float], pitch: float, low: float, high: float) -> list[float]:
    """Places as near as possible to those wanted, in their order, at least `pitch` apart and inside low to high.

    Args:     wanted: in any order; as many as there is room for.
    Raises:   ValueError: there is no room for so many.
    """
    order = sorted(range(len(wanted)), key=lambda k: wanted[k])
    places = _apart([wanted[k] for k in order], [pitch * rank for rank in range(len(wanted))], low, high)
    placed = [0.0] * len(wanted)
    for k, place in zip(order, places, strict=True):
        placed[k] = place
    return placed


def beside(centres: Sequence[float], widths: Sequence[float], low: float, high: float, gap: float = 4.0):
    """Middles of all labels of a row, moved aside as little as possible so that none touches another.

    Args:     centres: rising.
    Raises:   ValueError: there is no room for all.
    """
    offsets = [0.0]
    for before, after in pairwise(widths):
        offsets.append(offsets[-1] + (before + after) / 2 + gap)
    if not centres:
        return []
    return _apart(centres, offsets, low + widths[0] / 2, high - widths[-1] / 2)


def _apart(wanted: Sequence[float], offsets: Sequence[float], low: float, high: float) -> list[float]:
    """Rising places near those wanted (rising), each at least as far from the first as the offsets say of it."""
    if not wanted:
        return []
    if offsets[-1] > high - low + 1e-9:
        raise ValueError(f"{len(wanted)} labels do not fit between {low:g} and {high:g}.")
    # With the offsets taken off, "far enough apart" becomes "not falling": pool neighbours that fall.
    pools: list[list[float]] = []
    for place, offset in zip(wanted, offsets, strict=True):
        pools.append([place - offset])
        while len(pools) > 1 and _mean(pools[-2]) > _mean(pools[-1]):
            pools[-2:] = [pools[-2] + pools[-1]]
    level = (_mean(pool) for pool in pools for _ in pool)
    most = high - offsets[-1]
    return [min(max(one, low), most) + offset for one, offset in zip(level, offsets, strict=True)]


def _mean(values: list[float]) -> float:
    return sum(values) / len(values)


def thinned(centres: Sequence[float], widths: Sequence[float], low: float, high: float, gap: float = 4.0):
    """Which labels of a row stand beside each other without touching, and where their middles come to be.

    The last is kept first (the end of a cable says most), then from the first on. A label near an edge moves inside.

    Returns:  list of (index, middle), in the order of the indexes; labels wider than the row are left out.
    """
    kept: list[tuple[int, float]] = []
    order = [len(centres) - 1, *range(len(centres) - 1)] if centres else []
    for k in order:
        half = widths[k] / 2
        if 2 * half > high - low:
            continue
        middle = min(max(centres[k], low + half), high - half)
        if all(abs(middle - other) >= half + widths[j] / 2 + gap for j, other in kept):
            kept.append((k, middle))
    return sorted(kept)
