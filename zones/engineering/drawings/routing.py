"""Channel routing: vertical tracks in the gaps between columns, horizontal lanes under the rows.

Intervals on one track never touch, so wires cross but never lie on one another. The order in which wires take tracks
follows from the way they turn, so that the wires of one cable run side by side without crossing.
"""

from dataclasses import dataclass

PITCH_MM = 2.5  # between neighbouring tracks
CLEAR_MM = 1.6  # between two wires on one track


@dataclass(slots=True)
class Route:
    """A wire between two ports that is not straight.

    `gaps` are the gaps at its ports (equal: one track), `lefts` whether a port is on the left edge of its box,
    `heights_mm` the y of the ports; `lane_mm` is set when the lanes are known.
    """

    number: int
    gaps: tuple[int, int]
    lefts: tuple[bool, bool]
    rows: tuple[int, int]
    lines: tuple[int, int]
    heights_mm: tuple[float, float] = (0.0, 0.0)
    lane: int = -1
    lane_mm: float = 0.0

    @property
    def needs_lane(self) -> bool:
        return self.gaps[0] != self.gaps[1]

    @property
    def lane_row(self) -> int:
        return min(self.rows)


def first_fit(intervals: list[tuple[float, float]], clear: float) -> tuple[list[int], int]:
    """Track of each interval, taken in the order given, and the number of tracks."""
    tracks: list[list[tuple[float, float]]] = []
    found = []
    for low, high in intervals:
        number = next((n for n, track in enumerate(tracks) if _is_free(track, low, high, clear)), len(tracks))
        if number == len(tracks):
            tracks.append([])
        tracks[number].append((low, high))
        found.append(number)
    return found, len(tracks)


def _is_free(track, low, high, clear):
    return all(high + clear <= other_low or other_high + clear <= low for other_low, other_high in track)


def give_lanes(routes: list[Route]) -> dict[int, int]:
    """Set the lane of each route that needs one; returns row → number of lanes under it."""
    by_row: dict[int, list[Route]] = {}
    for route in routes:
        if route.needs_lane:
            by_row.setdefault(route.lane_row, []).append(route)
    counts = {}
    for row, group in by_row.items():
        group.sort(key=_lane_order)
        lanes, counts[row] = first_fit([(min(route.gaps), max(route.gaps)) for route in group], 0.5)
        for route, lane in zip(group, lanes, strict=True):
            route.lane = lane
    return counts


def _lane_order(route):
    """The port nearest to the lanes takes the topmost, so that wires turn inside one another."""
    at = 0 if route.rows[0] <= route.rows[1] else 1
    return (-route.lines[at], route.number)


def give_tracks(routes: list[Route], gap: int) -> tuple[dict[tuple[int, int], int], int]:
    """Track of each (route, end) in one gap, counted from the left, and the number of tracks."""
    from_left, from_right = [], []
    for route in routes:
        if route.needs_lane:
            for end in (0, 1):
                if route.gaps[end] == gap:
                    part = (route.number, end, route.heights_mm[end], route.lane_mm)
                    (from_right if route.lefts[end] else from_left).append(part)
        elif route.gaps[0] == gap:
            end = 0 if not route.lefts[0] else 1
            part = (route.number, 2, route.heights_mm[end], route.heights_mm[1 - end])
            (from_right if all(route.lefts) else from_left).append(part)
    tracks = {}
    left_count = _pack(from_left, tracks)
    right_found: dict[tuple[int, int], int] = {}
    right_count = _pack(from_right, right_found)
    for key, number in right_found.items():
        tracks[key] = left_count + right_count - 1 - number
    return tracks, left_count + right_count


def _pack(parts, found):
    parts.sort(key=_track_order)
    numbers, count = first_fit([(min(a, b), max(a, b)) for _, _, a, b in parts], CLEAR_MM)
    for (number, end, _, _), track in zip(parts, numbers, strict=True):
        found[number, end] = track
    return count


def _track_order(part):
    """Of wires that turn down the lowest comes first, of wires that turn up the highest: they turn inside another."""
    number, _, port, other = part
    return (0, -port, number) if other > port else (1, port, number)
