"""Where a monitored line or circuit begins and ends: the one place that is asked for it, whatever offers the line."""

from zones.models.kinds import EndPlace

# Where the resistor is, where that is not the last device.
ELSEWHERE = {EndPlace.IN_BOX: "in its junction box", EndPlace.PANEL_TERMINAL: "on the line's own terminals"}


def start_of(line):
    """The position where a line or circuit begins: its terminals are there, and there it is read."""
    return getattr(line, "starts_at", None) or line.panel.position


def last_of_lines(positions):
    """The last device of each line, {key of the line: position}: by the order on it, else by the walk."""
    found = {}
    for position in positions:
        if position.detection_line_id:
            found.setdefault(position.detection_line_id, []).append(position)
    return {line: max(on_it, key=_order) for line, on_it in found.items()}


def _order(position):
    order = position.order_on_line
    return order is not None, order or 0, position.walking_order, position.tag_key


def has_element(line):
    """Whether the line ends in an end-of-line resistor; a data link and a line that needs none do not."""
    return line.end_place != EndPlace.NONE_NEEDED
