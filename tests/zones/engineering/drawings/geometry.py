"""What makes a drawing unreadable, found by plain geometry over its shapes: independent of how it was laid out."""

from itertools import pairwise

from zones.engineering.drawings.shapes import Rect, Sheet

PIN_MM = 1.1


def overlap(one: Rect, other: Rect) -> bool:
    """Whether two rectangles share more than an edge."""
    return (
        one.x < other.right - 1e-6
        and other.x < one.right - 1e-6
        and one.y < other.bottom - 1e-6
        and other.y < one.bottom - 1e-6
    )


def boxes_of(shapes):
    """Pairs of rectangles that overlap, by a sweep along y."""
    ordered = sorted(shapes, key=lambda each: each[1].y)
    found, open_ = [], []
    for name, rect in ordered:
        open_ = [each for each in open_ if each[1].bottom > rect.y + 1e-6]
        found += [(other, name) for other, other_rect in open_ if overlap(rect, other_rect)]
        open_.append((name, rect))
    return found


def labels_of(sheet: Sheet):
    """Text and rectangle of each label; a rectangle is measured letter by letter, so it is asked for once."""
    return [(label.text, label.rect) for label in sheet.labels]


def overlapping_labels(sheet: Sheet):
    return boxes_of(labels_of(sheet))


def overlapping_boxes(sheet: Sheet):
    return boxes_of([(box.key, box.rect) for box in sheet.boxes])


def segment_rect(a, b) -> Rect:
    return Rect(min(a[0], b[0]), min(a[1], b[1]), abs(a[0] - b[0]), abs(a[1] - b[1]))


def meets(segment: Rect, rect: Rect) -> bool:
    """Whether a segment (a rectangle without area) enters the inside of a rectangle."""
    return (
        segment.x < rect.right - 1e-6
        and rect.x < segment.right + 1e-9
        and segment.right > rect.x + 1e-6
        and segment.y < rect.bottom - 1e-6
        and segment.bottom > rect.y + 1e-6
    )


def labels_on_wires(sheet: Sheet):
    segments = [(wire.key, segment_rect(a, b)) for wire in sheet.wires for a, b in wire.segments()]
    segments.sort(key=lambda each: each[1].y)
    found = []
    for text, rect in labels_of(sheet):
        for key, segment in segments:
            if segment.y > rect.bottom:
                break
            if meets(segment, rect):
                found.append((text, key))
    return found


def mark_rects(sheet: Sheet):
    """Rectangles of the small signs and of the circles of terminals."""
    found = []
    for mark in sheet.marks:
        x, y = mark.at
        half = {"resistor": (mark.half, 1.0), "parked": (0.25, 1.1), "earth": (1.9, 1.9)}.get(mark.kind, (1.1, 1.1))
        if mark.kind == "to":
            half, x = (0.95, 1.1), x + (0.95 if mark.is_left else -0.95)
        if mark.kind != "dot":
            found.append((mark.kind, Rect(x - half[0], y - half[1], 2 * half[0], 2 * half[1])))
    for pin in sheet.pins:
        for x, y in (pin.at, *pin.others):
            found.append((pin.terminal, Rect(x - PIN_MM, y - PIN_MM, 2 * PIN_MM, 2 * PIN_MM)))
    return found


def labels_on_signs(sheet: Sheet):
    signs = mark_rects(sheet)
    signs.sort(key=lambda each: each[1].y)
    found = []
    for text, rect in labels_of(sheet):
        for name, sign in signs:
            if sign.y > rect.bottom:
                break
            if overlap(sign, rect):
                found.append((text, name))
    return found


def labels_across_frames(sheet: Sheet):
    """Labels that are neither wholly inside nor wholly outside a box."""
    return [
        (text, box.key)
        for text, rect in labels_of(sheet)
        for box in sheet.boxes
        if overlap(rect, box.rect) and not box.rect.holds(rect)
    ]


def slanted(sheet: Sheet):
    """Wires with a segment that is neither level nor upright, or with no length."""
    return [
        wire.key
        for wire in sheet.wires
        for a, b in wire.segments()
        if (abs(a[0] - b[0]) > 1e-6) == (abs(a[1] - b[1]) > 1e-6)
    ]


def shared_segments(sheet: Sheet):
    """Pairs of wires of different nets (of different cores, even of one net) that lie on one another."""
    lines: dict[tuple, list] = {}
    for wire in sheet.wires:
        for a, b in wire.segments():
            level = abs(a[1] - b[1]) < 1e-6
            at = round(a[1] if level else a[0], 3)
            low, high = sorted((a[0], b[0]) if level else (a[1], b[1]))
            lines.setdefault((level, at), []).append((low, high, wire))
    found = []
    for parts in lines.values():
        parts.sort(key=lambda part: part[:2])
        for number, (_, high, wire) in enumerate(parts):
            for other_low, _, other in parts[number + 1 :]:
                if other_low >= high - 1e-6:
                    break
                inner = {"internal", "link"}
                same_net = wire.net == other.net and (wire.kind in inner and other.kind in inner)
                if wire is not other and not same_net:
                    found.append((wire.key, other.key))
    return found


def wires_through_boxes(sheet: Sheet):
    """Wires between boxes that run through a box."""
    found = []
    for wire in sheet.wires:
        for a, b in wire.segments():
            segment = segment_rect(a, b)
            for box in sheet.boxes:
                is_inside = box.rect.holds(segment)
                if (meets(segment, box.rect) and not is_inside) or (is_inside and wire.kind == "core"):
                    found.append((wire.key, box.key))
    return found


def wires_through_signs(sheet: Sheet):
    """Wires that touch the circle of a terminal at which they do not end."""
    pins = [(x, y, Rect(x - 1, y - 1, 2, 2)) for pin in sheet.pins for x, y in (pin.at, *pin.others)]
    found = []
    for wire in sheet.wires:
        ends = {(round(x, 3), round(y, 3)) for x, y in (wire.points[0], wire.points[-1])}
        for a, b in wire.segments():
            segment = segment_rect(a, b)
            for x, y, circle in pins:
                if not meets(segment, circle):
                    continue
                if not any(abs(end_y - y) < 0.01 and abs(end_x - x) < 1.2 for end_x, end_y in ends):
                    found.append((wire.key, (x, y)))
    return found


def faults(sheet: Sheet) -> dict[str, list]:
    """Everything wrong with a drawing, by kind; empty for a readable one."""
    checks = (
        overlapping_labels,
        overlapping_boxes,
        labels_on_wires,
        labels_on_signs,
        labels_across_frames,
        slanted,
        shared_segments,
        wires_through_boxes,
        wires_through_signs,
    )
    return {check.__name__: found for check in checks if (found := check(sheet))}


def straight_through(points):
    """Whether a line has a point in the middle of a straight run, or turns back on itself."""
    return any((a[0] == b[0] == c[0]) or (a[1] == b[1] == c[1]) for (a, b), (_, c) in pairwise(list(pairwise(points))))
