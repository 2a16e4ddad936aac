"""Geometry of positions on a floor plan: spread along a run, the outline of a zone, its hatch. Lengths in any one unit.

A point is (x, y), y downwards as on screen and paper.
"""

from itertools import pairwise
from math import ceil, cos, dist, floor, hypot, pi, radians, sin

Point = tuple[float, float]
CORNERS = 32  # of the polygon that stands for a circle


class GeometryError(ValueError):
    """The points give no run; the message is a sentence."""


def spread_along(points: list[Point], count: int) -> list[Point]:
    """`count` points at equal distances along a line through `points`, the first and the last at its ends.

    Raises GeometryError: fewer than two points, all at one place, or fewer than two to spread.
    """
    if count < 2:
        raise GeometryError("A run needs at least two positions.")
    lengths = [dist(start, end) for start, end in pairwise(points)]
    whole = sum(lengths)
    if not whole > 0:
        raise GeometryError("A run needs a start and an end at two places.")
    found, at, before = [points[0]], 0, 0.0
    for number in range(1, count - 1):
        wanted = whole * number / (count - 1)
        while before + lengths[at] < wanted:
            before += lengths[at]
            at += 1
        share = (wanted - before) / lengths[at] if lengths[at] else 0.0
        (x, y), (next_x, next_y) = points[at], points[at + 1]
        found.append((x + (next_x - x) * share, y + (next_y - y) * share))
    return [*found, points[-1]]


def convex_hull(points: list[Point]) -> list[Point]:
    """The corners of the smallest convex polygon round all points, in order; one or two points stay as they are.

    Source: monotone chain (A. M. Andrew, 1979).
    """
    ordered = sorted(set(points))
    if len(ordered) < 3:
        return ordered
    return _half(ordered)[:-1] + _half(ordered[::-1])[:-1]


def _half(points):
    kept = []
    for point in points:
        while len(kept) > 1 and _turn(kept[-2], kept[-1], point) <= 0:
            kept.pop()
        kept.append(point)
    return kept


def _turn(first, second, third):
    return (second[0] - first[0]) * (third[1] - first[1]) - (second[1] - first[1]) * (third[0] - first[0])


def rounded_hull(points: list[Point], radius: float) -> list[Point]:
    """The convex outline that keeps `radius` from every point: about a circle round a single one."""
    outer = radius / cos(pi / CORNERS)  # so that the sides of the polygon keep it too
    turns = [2 * pi * number / CORNERS for number in range(CORNERS)]
    return convex_hull([(x + outer * cos(turn), y + outer * sin(turn)) for x, y in points for turn in turns])


def hatch(outline: list[Point], *, angle_deg: float, spacing: float) -> list[tuple[Point, ...]]:
    """Parallel lines within a convex outline, as (start, end); they lie on one grid for all outlines of a sheet."""
    along = cos(radians(angle_deg)), sin(radians(angle_deg))
    across = -along[1], along[0]
    offsets = [x * across[0] + y * across[1] for x, y in outline]
    found = []
    for number in range(ceil(min(offsets) / spacing), floor(max(offsets) / spacing) + 1):
        cuts = _cuts(outline, across, number * spacing)
        if len(cuts) > 1:
            cuts.sort(key=lambda point: point[0] * along[0] + point[1] * along[1])
            if hypot(cuts[0][0] - cuts[-1][0], cuts[0][1] - cuts[-1][1]) > 1e-9:
                found.append((cuts[0], cuts[-1]))
    return found


def _cuts(outline, across, offset):
    """Where the line at this offset meets the sides of the outline."""
    cuts = []
    for (x, y), (next_x, next_y) in zip(outline, [*outline[1:], outline[0]], strict=True):
        here = x * across[0] + y * across[1] - offset
        there = next_x * across[0] + next_y * across[1] - offset
        if here * there > 0 or here == there:
            continue
        share = here / (here - there)
        cuts.append((x + (next_x - x) * share, y + (next_y - y) * share))
    return cuts
