"""A wiring list, in the columns of the terminal schedule: written out, read back, all or nothing.

An empty core leaves a terminal as it is, "free" takes its core off; an empty far end leaves the far end as it is.
"""

from dataclasses import dataclass, field

from django.core.exceptions import ValidationError
from django.db import transaction

from sites_registry.spreadsheets import Sheet, csv_of, workbook_of
from zones.device_lists.cells import tidy
from zones.models import Terminal
from zones.wiring.edits import put_core, put_far
from zones.wiring.page import blocks_of
from zones.wiring.records import wired_panel
from zones.wiring.terminals import full_name

HEADINGS = ("Device", "Block", "Terminal", "Function", "Core", "Colour", "Cable", "Far end")
FREE = "free"
MOST_ROWS = 3_000
LONGEST = 120
_NAMES = {
    "device": ("device", "panel", "tag", "of"),
    "block": ("block", "strip"),
    "terminal": ("terminal", "number", "no"),
    "function": ("function", "use"),
    "core": ("core", "wire"),
    "colour": ("colour", "color"),
    "cable": ("cable",),
    "far": ("far end", "far", "to", "goes to"),
}


@dataclass
class ListRow:
    """One row of a list: where it stands in the file, its cells, and what came of it."""

    number: int
    cells: dict
    terminal: Terminal | None = None
    said: str = ""
    reasons: list = field(default_factory=list)

    @property
    def name(self):
        return f"{self.cells['device']} -{self.cells['block']}:{self.cells['terminal']}"

    @property
    def core(self):
        """What is typed at the terminal for this row: "W12.3 BN", "free", or "" to leave it."""
        cable, core = self.cells["cable"], self.cells["core"]
        if FREE in (core.casefold(), cable.casefold()):
            return FREE
        return f"{cable}.{core} {self.cells['colour']}".strip() if cable and core else ""


class ListRefused(Exception):
    """Some rows cannot be taken; `rows` carry their reasons, nothing was changed."""

    def __init__(self, rows):
        super().__init__("rows refused")
        self.rows = rows


def wiring_list_rows(wired):
    """Lists of texts, one per terminal of the panel and of every device wired to it."""
    for block in blocks_of(wired, chosen="all"):
        for row in block.rows:
            owner, _, designation = row.name.rpartition(" -")
            name, _, number = designation.partition(":")
            core = row.core_only.rpartition(".")[2]
            yield [owner, name, number, row.function, core, row.colour, row.cable, row.far]


def wiring_list_csv(wired, notice=""):
    """Rows only, so that any program takes it in; what is missing is said by the name of the file."""
    return csv_of(HEADINGS, wiring_list_rows(wired))


def wiring_list_xlsx(wired, notice=""):
    """The list as a workbook, a notice above its table."""
    facts = (("State", notice),) if notice else ()
    rows, freeze = wiring_list_rows(wired), None if notice else "A2"
    return workbook_of(Sheet(title="Wiring list", headings=HEADINGS, rows=rows, facts=facts, freeze=freeze))


def read_rows(panel, sheet):
    """Rows of a list from a sheet of a file. Raises ValidationError where it has no columns that can be used."""
    place, columns = _headings(sheet)
    if columns is None:
        raise ValidationError(
            "No row with the headings was found. The list needs at least Terminal and Cable or Far end; "
            f"the columns are {', '.join(HEADINGS)}."
        )
    rows = sheet.rows[place + 1 :]
    if len(rows) > MOST_ROWS:
        raise ValidationError(f"The list has {len(rows)} rows; at most {MOST_ROWS}. Take it in parts.")
    if not rows:
        raise ValidationError("There is no row below the headings. Choose the file that holds the list.")
    return [_row(panel, number, cells, columns) for number, cells in rows]


def _headings(sheet):
    """Where the headings stand within the first rows, and which column is what; (0, None) if nowhere."""
    for place, (_, cells) in enumerate(sheet.rows[:20]):
        columns = _columns_of(cells)
        if "terminal" in columns and ("cable" in columns or "far" in columns):
            return place, columns
    return 0, None


def _columns_of(cells):
    found = {}
    for index, cell in enumerate(cells):
        word = " ".join(cell.casefold().split()).rstrip(".:")
        name = next((name for name, words in _NAMES.items() if word in words), None)
        if name and name not in found:
            found[name] = index
    return found


def _row(panel, number, cells, columns):
    values = {
        name: tidy(cells[columns[name]]).lstrip("'")[:LONGEST] if name in columns and columns[name] < len(cells) else ""
        for name in _NAMES
    }
    values["device"] = values["device"] or panel.tag
    # "-X3:5" in one cell is as good as block and terminal in two.
    if ":" in values["terminal"]:
        values["block"], _, values["terminal"] = values["terminal"].rpartition(":")
    values["block"] = values["block"].lstrip("-").strip()
    return ListRow(number, values)


@transaction.atomic
def apply_list(*, panel, rows):
    """Put every row of a list into the register, or nothing. Returns the rows with what came of each.

    Raises ListRefused: its rows say what is wrong.
    """
    standing = {row.name.casefold(): row for block in blocks_of(wired_panel(panel), chosen="all") for row in block.rows}
    _find_terminals(panel, rows)
    fresh = [row for row in rows if row.terminal is not None]
    cores = [row for row in fresh if row.core and not _is_there(row, standing)]
    _refuse_if_any(rows)
    # All that goes comes off first, so that cores may change places within the list.
    for row in cores:
        _try(row, lambda row=row: put_core(terminal=row.terminal, text=""))
    for row in cores:
        if row.core != FREE:
            _try(row, lambda row=row: put_core(terminal=row.terminal, text=row.core))
    for row in fresh:
        there = standing.get(full_name(row.terminal).casefold())
        if row.cells["far"] and (row in cores or there is None or there.far.casefold() != row.cells["far"].casefold()):
            _try(row, lambda row=row: put_far(terminal=row.terminal, text=row.cells["far"]))
        _take_function(row)
    _refuse_if_any(rows)
    for row in rows:
        row.said = row.said or "as it is"
    return rows


def _find_terminals(panel, rows):
    """The terminal of each row; a row that names none, or one that another row names, says so."""
    terminals = Terminal.objects.filter(building=panel.building_id).select_related("panel__position", "position")
    by_name = {full_name(terminal).casefold(): terminal for terminal in terminals}
    seen = {}
    for row in rows:
        row.terminal = by_name.get(row.name.casefold())
        if row.terminal is None:
            row.reasons.append(f"{row.name} is no terminal of this building. Correct it, or add the terminal first.")
        elif row.name.casefold() in seen:
            row.reasons.append(f"{row.name} stands in row {seen[row.name.casefold()]} too. Leave one out.")
        seen.setdefault(row.name.casefold(), row.number)
        if bool(row.cells["cable"]) != bool(row.cells["core"]) and row.core != FREE:
            row.reasons.append("Cable and core belong together: give both, or neither.")


def _is_there(row, standing):
    there = standing.get(full_name(row.terminal).casefold())
    if there is None:
        return False
    if row.core == FREE:
        return not there.core
    wanted = row.core.casefold()
    return wanted in (there.core.casefold(), there.core_only.casefold())


def _try(row, act):
    if row.reasons:
        return
    try:
        with transaction.atomic():
            change = act()
    except ValidationError as error:
        row.reasons += error.messages
    else:
        if change.is_any:
            row.said = change.said


def _take_function(row):
    text = row.cells["function"]
    if text and text != row.terminal.function and not row.reasons:
        terminal = Terminal.objects.get(pk=row.terminal.pk)
        terminal.function = text
        terminal.save()
        row.said = " ".join(filter(None, [row.said, "Function changed."]))


def _refuse_if_any(rows):
    if any(row.reasons for row in rows):
        raise ListRefused(rows)
