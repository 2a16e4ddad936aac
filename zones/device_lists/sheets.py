"""What reading yields: sheets of rows of text."""

from dataclasses import dataclass, field

from sites_registry.services.refusals import Refused
from zones.device_lists.cells import UNREADABLE, Unreadable, tidy

ROW_LIMIT = 20_000
COLUMN_LIMIT = 80
# Longer than any column of a device list: what is cut here is told as a fault of its row later.
CELL_LIMIT = 500


class NotReadable(Refused):
    """The file cannot be read as a device list; the message says why and what to do."""


@dataclass
class Sheet:
    """One table of a file: `rows` are [row number as people see it, cells]."""

    name: str
    rows: list = field(default_factory=list)
    remarks: list = field(default_factory=list)

    def add(self, number, cells):
        """Take a row unless it is empty. Raises NotReadable when there are too many."""
        if len(cells) > COLUMN_LIMIT and any(map(str.strip, cells[COLUMN_LIMIT:])):
            self.remark(f"Only the first {COLUMN_LIMIT} columns were read.")
        cells = [_kept(cell) for cell in cells[:COLUMN_LIMIT]]
        while cells and not cells[-1]:
            cells.pop()
        if not cells:
            return
        if len(self.rows) >= ROW_LIMIT:
            raise NotReadable(
                f"The file has more than {ROW_LIMIT} rows in one table. Split the list and import it in parts."
            )
        self.rows.append([number, cells])

    def remark(self, text):
        if text not in self.remarks:
            self.remarks.append(text)


def _kept(cell):
    mark = UNREADABLE if isinstance(cell, Unreadable) else ""
    return mark + tidy(cell)[:CELL_LIMIT]
