"""Rows against the register: what each would do, or what is wrong with it. Reads only; no query per row."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from django.utils import timezone

from zones.device_lists.cells import CellFault, a_kind, read_kind, read_whole_number
from zones.device_lists.file_index import index_file, kind_of
from zones.device_lists.rows import RowPlan, read_rows, stored_cells
from zones.device_lists.snapshot import key, take_snapshot
from zones.device_lists.unit_checks import check_unit
from zones.device_lists.zone_cells import LARGEST_NUMBER, read_zone
from zones.models import DeviceKind
from zones.models.kinds import DRIVES
from zones.models.position_rules import NOT_ON_A_LINK

TEXTS = ("storey", "room", "place", "access_need")
ZONE_WITHOUT_NAME = "(name to follow)"
LARGEST_WALKING_ORDER = 2_000_000_000


@dataclass(frozen=True)
class Output:
    """A column that puts a device on a run of its panel: what the cell may say, and of which kinds."""

    word: str
    attribute: str
    known: str  # where the snapshot has them
    prefixes: str
    refusal: str
    takes: Callable


OUTPUTS = {
    "circuit": Output(
        "circuit",
        "actuator_circuit",
        "circuits",
        "circuit|output|c|o",
        "Only an actuator is on an actuator circuit.",
        lambda kind: kind in DRIVES,
    ),
    "line": Output(
        "line",
        "detection_line",
        "lines",
        "line|input|detection line|l|i",
        "An actuator is not on a detection line.",
        lambda kind: kind not in DRIVES,
    ),
    "data_link": Output(
        "data link",
        "data_link",
        "links",
        "data link|link|d",
        "Only a device that the panel knows by its serial is on a data link.",
        lambda kind: kind not in NOT_ON_A_LINK,
    ),
}
_NAMES_A_LINK = re.compile(r"(?:^|:)\s*(?:data\s+)?link\b", re.IGNORECASE)


class Checker:
    """Judges the rows of one file against one snapshot of a building."""

    def __init__(self, building, data, keys, today=None):
        self.today = today or timezone.localdate()
        self.rows = read_rows(data, keys)
        serials = {row.cells["serial"] for row in self.rows if "serial" in row.cells}
        self.snapshot = take_snapshot(building, serials)
        self.index = index_file(self.rows, self.snapshot)

    def plans(self, start=0, stop=None):
        """A RowPlan for each row from `start` to before `stop`."""
        return [self._plan(row) for row in self.rows[start:stop]]

    def _plan(self, row):
        plan = RowPlan(row)
        cells = row.cells
        tag = cells.get("tag")
        if not tag:
            if not any(fault.column == "tag" for fault in row.faults):
                row.fault("tag", "The row has no tag. Write the tag of the position, or take the row out.")
            return plan
        plan.position = self.snapshot.positions.get(key(tag))
        if self.index.tags[key(tag)] != row.number:
            row.fault("tag", f"'{tag}' stands in row {self.index.tags[key(tag)]} already. Keep one of the two rows.")
        if plan.position and plan.position.retired_on:
            day = f"{plan.position.retired_on:%-d %b %Y}"
            row.fault(
                "tag", f"'{tag}' is no longer used since {day}. Take the position back first, or use another tag."
            )
        self._drop_what_is_stored(plan)
        self._check_kind(plan)
        self._check_panel(plan)
        self._check_zone(plan)
        self._check_outputs(plan)
        self._check_texts(plan)
        check_unit(plan, self.snapshot, self.index, self.today)
        return plan

    def _drop_what_is_stored(self, plan):
        """Leave only the cells that say something else than the register; `before` holds what it says."""
        position = plan.position
        if position:
            plan.fitting = self.snapshot.fittings.get(position.pk)
            plan.before = stored_cells(position, plan.fitting)
        plan.cells = {column: text for column, text in plan.row.cells.items() if plan.before.get(column) != text}

    def _check_kind(self, plan):
        row, position = plan.row, plan.position
        plan.kind = kind_of(row, position)
        if "kind" in row.cells and not plan.kind:
            try:
                read_kind(row.cells["kind"])
            except CellFault as fault:
                row.fault("kind", str(fault))
        elif not plan.kind:
            row.fault("kind", f"'{row.cells['tag']}' is new, so the register needs its kind. Write it in the row.")
        elif position and plan.kind != position.kind:
            row.fault(
                "kind",
                f"{position.tag} is {a_kind(position.kind)} in the register, not "
                f"{a_kind(plan.kind)}. Correct the kind, or give the position another tag.",
            )
        elif not position:
            plan.change("kind", "", DeviceKind(plan.kind).label)
        if position is None and plan.kind == DeviceKind.CONTROL_PANEL:
            plan.makes.append(f"panel {row.cells['tag']}")

    def _check_panel(self, plan):
        plan.panel = key(plan.before.get("panel", ""))
        if not (text := plan.cells.get("panel")):
            return
        wanted = key(text)
        if plan.kind == DeviceKind.CONTROL_PANEL and wanted == key(plan.row.cells["tag"]):
            return  # lists write a panel's own tag beside it
        if not self._knows_panel(plan, "panel", text):
            return
        if wanted != plan.panel:
            plan.change("panel", plan.before.get("panel", ""), text)
            plan.fields["panel"] = wanted
        plan.panel = wanted

    def _knows_panel(self, plan, column, text):
        if key(text) in self.snapshot.panels or key(text) in self.index.panels:
            return True
        plan.row.fault(
            column,
            f"{self.snapshot.building.name} has no panel '{text}'. Correct it, or add a row of kind control panel "
            "with this tag.",
        )
        return False

    def _check_zone(self, plan):
        row, zone = plan.row, plan.position and plan.position.smoke_zone
        plan.zone = zone.number if zone else None
        if "zone_number" in plan.cells or "zone_name" in plan.cells:
            try:
                number, name = read_zone(row.cells)
                if number is None:
                    number, name = self._zone_of_name(name), ""
            except CellFault as fault:
                row.fault("zone_number" if "zone_number" in row.cells else "zone_name", str(fault))
                return
            if number != plan.zone:
                plan.change("zone_number", plan.zone or "", number)
                plan.fields["smoke_zone"] = plan.zone = number
            self._name_zone(plan, number, name)
        self._check_in_zone(plan, "vent_group", self.snapshot.groups)
        self._check_in_zone(plan, "vent", self.snapshot.vents)

    def _zone_of_name(self, name):
        if number := self.index.zones_by_name.get(key(name)):
            return number
        found = {n for n, zone in self.snapshot.zones.items() if key(zone.name) == key(name)}
        found |= {n for n, (other, _) in self.index.zone_names.items() if key(other) == key(name)}
        if len(found) != 1:
            what = f"Several zones are called '{name}'" if found else f"No zone is called '{name}'"
            raise CellFault(f"{what}. Write the zone's number too.")
        return found.pop()

    def _name_zone(self, plan, number, name):
        stored = self.snapshot.zones.get(number)
        first, first_row = self.index.zone_names.get(number, ("", 0))
        if name and name != first:
            plan.row.fault("zone_name", f"Zone {number} is '{first}' in row {first_row} and '{name}' here. Choose one.")
        elif stored is None:
            plan.zone_name = number, first or ZONE_WITHOUT_NAME
            plan.makes.append(f"zone {number} {first or ZONE_WITHOUT_NAME}")
        elif name and name != stored.name:
            plan.zone_name = number, name
            plan.change("zone_name", stored.name, name)

    def _check_in_zone(self, plan, column, known):
        """A vent or a group: its own zone is the row's; a stored one must still be in it."""
        row, text = plan.row, self._said(plan, column, "smoke_zone")
        if not text:
            stored = plan.position and getattr(plan.position, column)
            if stored and "smoke_zone" in plan.fields:
                of_zone = f"{stored} of zone {stored.smoke_zone.number}"
                row.fault(column, f"The position is at {of_zone}. Write the one of zone {plan.zone}.")
            return
        if plan.zone is None:
            row.fault(column, f"'{text}' belongs to a zone, and the row names none. Write the zone's number.")
            return
        if column == "vent" and plan.kind and plan.kind not in DRIVES:
            row.fault(column, f"Only an actuator moves a vent. Leave the cell empty, or correct the kind ('{text}').")
            return
        try:
            name = (plan.zone, key(text) if column == "vent" else _group_number(text))
        except CellFault as fault:
            row.fault(column, str(fault))
            return
        record = known.get(name)
        if record is None:
            word = f"vent {text}" if column == "vent" else f"vent group {name[1]}"
            plan.makes.append(f"{word} of zone {plan.zone}")
        elif plan.position and getattr(plan.position, f"{column}_id") == record.pk:
            return
        plan.change(column, plan.before.get(column, ""), text)
        plan.fields[column] = (*name, text)

    def _said(self, plan, column, parent):
        """The cell, when it says something new; also the stored words, when they now mean another zone or panel."""
        return (plan.row if parent in plan.fields else plan).cells.get(column)

    def _check_outputs(self, plan):
        cells = {column: self._said(plan, column, "panel") for column in OUTPUTS}
        if (text := plan.row.cells.get("circuit_or_line")) and plan.kind:
            column = "circuit" if plan.kind in DRIVES else "line"
            column = "data_link" if _NAMES_A_LINK.search(text) else column
            if column not in plan.row.cells and plan.before.get(column) != text:
                cells[column] = text
        for column, output in OUTPUTS.items():
            self._check_output(plan, column, cells[column], getattr(self.snapshot, output.known), output.attribute)
        self._check_one_run(plan)
        if "order_on_line" in plan.cells:
            self._take_number(plan, "order_on_line", 0, LARGEST_NUMBER)
        if "walking_order" in plan.cells:
            self._take_number(plan, "walking_order", 0, LARGEST_WALKING_ORDER)
        elif plan.position is None:
            plan.fields["walking_order"] = self.index.walking_start + 10 * plan.row.index

    def _check_output(self, plan, column, text, known, attribute):
        row = plan.row
        if not text:
            stored = plan.position and getattr(plan.position, attribute)
            if stored and "panel" in plan.fields and stored.panel_id == plan.position.panel_id:
                row.fault(
                    column,
                    f"The position is on {stored}. Write its {OUTPUTS[column].word} on panel {row.cells['panel']}.",
                )
            return
        output = OUTPUTS[column]
        if plan.kind and not output.takes(plan.kind):
            row.fault(column, f"{output.refusal} Leave the cell empty, or correct the kind ('{text}').")
            return
        panel_text, _, number_text = text.rpartition(":")
        panel = key(panel_text.strip()) or plan.panel
        if not panel:
            row.fault(column, f"'{text}' is a number on a panel, and the row names none. Write the panel's tag.")
            return
        if panel_text and not self._knows_panel(plan, column, panel_text.strip()):
            return
        try:
            number = read_whole_number(number_text.strip(), 0, LARGEST_NUMBER, output.prefixes)
        except CellFault as fault:
            row.fault(column, str(fault))
            return
        record = known.get((panel, number))
        if record is None:
            plan.makes.append(f"{output.word} {number} of panel {panel_text.strip() or self._panel_tag(panel)}")
        elif plan.position and getattr(plan.position, f"{attribute}_id") == record.pk:
            return
        plan.change(column, plan.before.get(column, ""), text)
        plan.fields[attribute] = panel, number

    def _check_one_run(self, plan):
        """What is on a data link is on no line besides; a list puts a device on a run, and never takes it off one."""
        for column, other in (("data_link", "line"), ("line", "data_link")):
            if OUTPUTS[column].attribute not in plan.fields:
                continue
            stored = plan.position and getattr(plan.position, OUTPUTS[other].attribute)
            if stored:
                plan.row.fault(column, f"The position is on {stored}. Take it off there first, on its own page.")
            elif column == "data_link" and OUTPUTS[other].attribute in plan.fields:
                plan.row.fault(column, "A device on a data link is on no line besides. Leave one of the cells empty.")

    def _panel_tag(self, panel):
        record = self.snapshot.panels.get(panel)
        return record.tag if record else self.index.panels.get(panel, panel)

    def _take_number(self, plan, column, lowest, highest):
        try:
            number = read_whole_number(plan.cells[column], lowest, highest)
        except CellFault as fault:
            plan.row.fault(column, str(fault))
            return
        if plan.position is None or getattr(plan.position, column) != number:
            plan.change(column, plan.before.get(column, ""), number)
            plan.fields[column] = number

    def _check_texts(self, plan):
        for column in TEXTS:
            if text := plan.cells.get(column):
                plan.change(column, plan.before.get(column, ""), text)
                plan.fields[column] = text


def _group_number(text):
    """ "2", "Group 2" or, with its zone, "Z1.2"."""
    return read_whole_number(text.rpartition(".")[2] if text[-2:] != ".0" else text, 0, LARGEST_NUMBER, "group|g|vg")
