"""The geometry of one sheet: heights of rows, widths of columns and gaps, and every wire as an orthogonal line."""

from collections import defaultdict

from zones.engineering.drawings.boxes import LINE_PITCH_MM, PIN_MM, draw_box, measure
from zones.engineering.drawings.heads import LINE_MM, head_of_device, head_of_panel, heading_words
from zones.engineering.drawings.lettering import TAG_SIZE_MM, width_mm
from zones.engineering.drawings.routing import PITCH_MM, Route, give_lanes, give_tracks
from zones.engineering.drawings.shapes import Mark, Point, Rect, RunEnd, Sheet, TextLine, Wire
from zones.engineering.drawings.sheet_cells import SheetCells

EDGE_MM = 2.0  # from the edge of a box to the text on a wire
ABOVE_MM = 1.5  # from a wire up to the base line of its text
ABOVE_ELEMENT_MM = 1.9
ARROW_MM = 3.0
GOES_ON_MM = 0.25  # base line of the text after an arrow, clear of the next wire's text
RESISTOR_HALF_MM = 2.6
FIRST_LINE_MM = 4.6  # from the head to the first terminal
LAST_LINE_MM = 3.6  # from the last terminal to the foot of the box
ROW_GAP_MM = 6.0
LANE_MM = 3.0  # from a row to its first lane
MARK_MM = 2.6  # from the edge of a box to the end of a core that has no terminal


class SheetLayout:
    """Lays out the cells of one sheet; `draw` returns it as shapes."""

    def __init__(self, cells: SheetCells):
        self.cells = cells
        self.pieces = cells.pieces
        self.columns = 1 + max((column for _, column in cells.cells), default=0)
        self.texts: dict[tuple, list[tuple[str, bool]]] = defaultdict(
            list
        )  # (row, gap, is left) → lines over the wires
        self.zone_mm: dict[tuple[int, bool], float] = defaultdict(float)  # (gap, at its left side) → width
        self.labelled: set = set()
        self._measure()
        self._choose_labels()
        self._routes()
        self._vertical()
        self._horizontal()

    # Measures

    def _measure(self):
        self.insides = {}
        is_first = True
        for key in sorted(self.cells.cells):
            cell = self.cells.cells[key]
            if cell.column == 0:
                head = head_of_panel(cell, self.cells.rows[cell.row].heading, is_first)
                is_first = False
            else:
                head = head_of_device(cell)
            self.insides[key] = measure(cell, head, self.cells.joins.get(key, []))

    def _port(self, port):
        """(row, gap, is left, line) of a port; gap g lies left of column g."""
        cell = self.pieces[port[0]].cells[port[1]]
        is_left = self.cells.sides[port]
        return cell.row, cell.column + (not is_left), is_left, self.cells.lines[port]

    def _is_straight(self, number):
        piece = self.pieces[number]
        if None in piece.cells:
            return False
        (row, gap, left, line), (row2, gap2, left2, line2) = self._port((number, 0)), self._port((number, 1))
        return row == row2 and gap == gap2 and left != left2 and line == line2

    def _choose_labels(self):
        """A wire is labelled where it leaves to the right, and at its other end too where that is not in sight."""
        self._collect_targets()
        described = set()
        for number, piece in enumerate(self.pieces):
            ports = [(number, at) for at in (0, 1) if piece.cells[at] is not None]
            places = [self._port(port) for port in ports]
            for port, (_, gap, is_left, _) in zip(ports, places, strict=True):
                if piece.run.ends[port[1]].terminal is None:
                    self._widen(gap, is_left, MARK_MM + EDGE_MM)
            if len(ports) == 2 and places[0][:2] == places[1][:2]:
                ports = [ports[0] if not places[0][2] or places[1][2] else ports[1]]
            for port in ports:
                row, gap, is_left, _ = self._port(port)
                self.labelled.add(port)
                width = self._text_edge(piece, port) + width_mm(piece.run.label) + EDGE_MM
                self._widen(gap, is_left, width + self._sign_mm(piece, port))
                if piece.run.cable and piece.run.cable not in described:
                    described.add(piece.run.cable)
                    self._add_texts(row, gap, is_left, self.cells.wiring.cable_lines[piece.run.cable])
        for (row, gap, is_left), targets in self.targets.items():
            for words in targets:
                self._add_texts(row, gap, is_left, (words,), is_bold=False)

    def _collect_targets(self):
        """Where the wires go on that leave the sheet at one place, in words; said once where it is the same for all."""
        self.targets: dict[tuple, dict[str, RunEnd]] = defaultdict(dict)
        for number, piece in enumerate(self.pieces):
            for at, end in enumerate(piece.run.ends):
                if end.goes_to:
                    place = self._port((number, 1 - at))[:3]
                    self.targets[place].setdefault(reference(*end.goes_to), (piece.run.key, at))

    def _says_where(self, port):
        return len(self.targets[self._port(port)[:3]]) > 1

    def _add_texts(self, row, gap, is_left, lines, is_bold=True):
        self.texts[row, gap, is_left] += [(line, is_bold and not at) for at, line in enumerate(lines)]
        for line in lines:
            self._widen(gap, is_left, EDGE_MM * 2 + width_mm(line))

    def _widen(self, gap, is_left, width):
        key = (gap, not is_left)
        self.zone_mm[key] = max(self.zone_mm[key], width)

    @staticmethod
    def _text_edge(piece, port):
        """From the edge of the box to the text: beside the mark of a core that has no terminal."""
        return EDGE_MM if piece.run.ends[port[1]].terminal else MARK_MM + EDGE_MM

    def _sign_mm(self, piece, port):
        """Room for what stands at the end of a wire that ends between boxes."""
        other = piece.run.ends[1 - port[1]]
        if piece.cells[1 - port[1]] is not None:
            return 0.0
        says_where = other.goes_to and self._says_where(port)
        return ARROW_MM + (1.0 + width_mm(reference(*other.goes_to)) if says_where else 0.0)

    # Routes

    def _routes(self):
        self.routes = []
        for number, piece in enumerate(self.pieces):
            if None in piece.cells or self._is_straight(number):
                continue
            (row, gap, left, line), (row2, gap2, left2, line2) = self._port((number, 0)), self._port((number, 1))
            self.routes.append(Route(number, (gap, gap2), (left, left2), (row, row2), (line, line2)))
        self.lanes = give_lanes(self.routes)

    # Places

    def _vertical(self):
        y, self.row_y, self.line_y, self.foot_y, self.lane_y = 0.0, [], [], [], []
        for number in range(len(self.cells.rows)):
            insides = [inside for key, inside in self.insides.items() if key[0] == number]
            texts = [lines for key, lines in self.texts.items() if key[0] == number]
            head = max([inside.head.height for inside in insides] + [0.0])
            head = max([head, *(len(lines) * LINE_MM + 3.0 for lines in texts), 3 * LINE_MM])
            lines = max([inside.cell.lines for inside in insides] + [0])
            self.row_y.append(y)
            self.line_y.append(y + head + FIRST_LINE_MM)
            foot = y + head + (FIRST_LINE_MM + (lines - 1) * LINE_PITCH_MM + LAST_LINE_MM if lines else 1.5)
            self.foot_y.append(foot)
            self.lane_y.append(foot + LANE_MM)
            lanes = self.lanes.get(number, 0)
            y = foot + ROW_GAP_MM + (LANE_MM + (lanes - 1) * PITCH_MM if lanes else 0.0)
        self.height = y - ROW_GAP_MM if self.cells.rows else 0.0
        for route in self.routes:
            route.heights_mm = tuple(self._y(row, line) for row, line in zip(route.rows, route.lines, strict=True))
            if route.needs_lane:
                route.lane_mm = self.lane_y[route.lane_row] + route.lane * PITCH_MM

    def _y(self, row, line):
        return self.line_y[row] + line * LINE_PITCH_MM

    def _horizontal(self):
        self.tracks, self.track_x, self.column_x, self.column_right = {}, {}, [], []
        widths = defaultdict(float)
        for (_, column), inside in self.insides.items():
            widths[column] = max(widths[column], inside.width)
        widths[0] = max(widths[0], self._margin_words_mm())
        x = 0.0
        for column in range(self.columns):
            self.column_x.append(x)
            x += widths[column]
            self.column_right.append(x)
            x = self._gap(column + 1, x)
        self.width = x

    def _margin_words_mm(self):
        """Width of what stands in column 0 at rows in which the panel has no part."""
        rows = [row for number, row in enumerate(self.cells.rows) if (number, 0) not in self.insides]
        return max((width_mm(text) for row in rows for text in self._words_of(row)), default=0.0)

    @staticmethod
    def _words_of(row):
        return list(row.heading) if row.shows_heading else heading_words(row.heading, is_continued=row.offset > 0)

    def _gap(self, gap, x):
        x += self.zone_mm[gap, True]
        tracks, count = give_tracks(self.routes, gap)
        for key, track in tracks.items():
            self.track_x[gap, *key] = x + PITCH_MM / 2 + track * PITCH_MM
        x += count * PITCH_MM + self.zone_mm[gap, False]
        is_last = gap == self.columns
        return x if is_last else max(x, self.column_right[-1] + 6.0)

    # Shapes

    def draw(self, number: int, count: int) -> Sheet:
        sheet = Sheet(number, count, self.width, self.height)
        for (row, column), inside in self.insides.items():
            foot = self.row_y[row + 1] if column == 0 and (row + 1, 0) in self.insides else self.foot_y[row]
            x = self.column_x[column]
            rect = Rect(x, self.row_y[row], self.column_right[column] - x, foot - self.row_y[row])
            draw_box(sheet, inside, rect, self.line_y[row])
        for row, each in enumerate(self.cells.rows):
            self._draw_margin(sheet, row, each)
        for key, lines in self.texts.items():
            self._draw_texts(sheet, key, lines)
        bent = {route.number: route for route in self.routes}
        for number in range(len(self.pieces)):
            self._draw_piece(sheet, number, bent.get(number))
        sheet.remarks = list(self.cells.wiring.remarks)
        return sheet

    def _draw_margin(self, sheet, number, row):
        y = self.row_y[number] + TAG_SIZE_MM
        if (number, 0) not in self.insides:
            for at, text in enumerate(self._words_of(row)):
                sheet.labels.append(TextLine(0.0, y + at * LINE_MM, text, role="row", is_bold=not at))

    def _draw_texts(self, sheet, key, lines):
        row, gap, is_left = key
        x = self._edge(gap, is_left) + (-EDGE_MM if is_left else EDGE_MM)
        for at, (text, is_bold) in enumerate(lines):
            y = self.line_y[row] - FIRST_LINE_MM - 2.0 - (len(lines) - 1 - at) * LINE_MM
            goes_to = self.targets.get(key, {}).get(text)
            anchor = "end" if is_left else "start"
            sheet.labels.append(TextLine(x, y, text, anchor, role="cable", is_bold=is_bold, goes_to=goes_to))

    def _edge(self, gap, is_left):
        return self.column_x[gap] if is_left else self.column_right[gap - 1]

    def _at(self, port) -> Point:
        row, gap, is_left, line = self._port(port)
        return self._edge(gap, is_left), self._y(row, line)

    def _draw_piece(self, sheet, number, route):
        piece = self.pieces[number]
        ports = [(number, at) if piece.cells[at] is not None else None for at in (0, 1)]
        for port in ports:
            if port in self.labelled:
                self._draw_label(sheet, piece, port)
        points = self._between(number, route) if all(ports) else self._stub(sheet, piece, ports)
        points = self._shortened(sheet, piece, ports, points)
        run = piece.run
        net = self.cells.where.nets.get(run.ends[0].terminal) or run.ends[0].terminal or run.key
        sheet.wires.append(Wire(run.key, run.kind, tuple(points), net, run.title, run.part))

    def _draw_label(self, sheet, piece, port):
        x, y = self._at(port)
        is_left = self.cells.sides[port]
        x += self._text_edge(piece, port) * (-1 if is_left else 1)
        above = ABOVE_MM if piece.run.kind != "element" else ABOVE_ELEMENT_MM
        sheet.labels.append(TextLine(x, y - above, piece.run.label, "end" if is_left else "start", role="core"))
        if piece.run.kind == "element":
            middle = x + (-1 if is_left else 1) * max(width_mm(piece.run.label) / 2, RESISTOR_HALF_MM)
            sheet.marks.append(Mark("resistor", (middle, y), half=RESISTOR_HALF_MM, title=piece.run.label))

    def _between(self, number, route):
        start, end = self._at((number, 0)), self._at((number, 1))
        if route is None:
            return [start, end]
        if not route.needs_lane:
            x = self.track_x[route.gaps[0], number, 2]
            return [start, (x, start[1]), (x, end[1]), end]
        x1, x2 = self.track_x[route.gaps[0], number, 0], self.track_x[route.gaps[1], number, 1]
        return [start, (x1, start[1]), (x1, route.lane_mm), (x2, route.lane_mm), (x2, end[1]), end]

    def _stub(self, sheet, piece, ports):
        """A wire that ends between boxes: on another sheet, parked, or nowhere."""
        at = 0 if ports[0] else 1
        port, other = ports[at], piece.run.ends[1 - at]
        x, y = self._at(port)
        way = -1 if self.cells.sides[port] else 1
        tip = x + way * (self._text_edge(piece, port) + width_mm(piece.run.label) + ARROW_MM)
        points = [(x, y), (tip, y)]
        title = {"parked": "spare core, parked", "open": "no end recorded"}.get(other.mark, "goes on")
        sheet.marks.append(Mark(other.mark, (tip, y), is_left=way < 0, title=title))
        sheet.goes_on[piece.run.key, at] = tip, y
        if other.goes_to and self._says_where(port):
            words, anchor = reference(*other.goes_to), "end" if way < 0 else "start"
            goes_to = piece.run.key, 1 - at
            sheet.labels.append(
                TextLine(tip + way * 1.0, y + GOES_ON_MM, words, anchor, role="goes-on", goes_to=goes_to)
            )
        return points if at == 0 else points[::-1]

    def _shortened(self, sheet, piece, ports, points):
        """Let the wire begin at the circle of its terminal, or at a mark beside the box where there is no terminal."""
        points = list(points)
        for at in (0, 1):
            if ports[at] is None:
                continue
            place, way = -at, -1 if self.cells.sides[ports[at]] else 1
            end = piece.run.ends[at]
            x, y = points[place]
            points[place] = (x + way * (PIN_MM if end.terminal else MARK_MM), y)
            if end.terminal is None:
                title = "spare core, parked" if end.mark == "parked" else "no end recorded"
                sheet.marks.append(Mark(end.mark, points[place], is_left=way > 0, title=title))
        return points


def reference(sheet, field):
    """What is printed where a wire goes on: "→ 3/B4"; in place of a field, a number that is as wide."""
    return f"→ {sheet}/{field:>02}"
