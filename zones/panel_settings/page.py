"""The settings sheet on screen: by section, in the order of the sheet; devices that are set alike stand in one row."""

from dataclasses import dataclass, replace
from itertools import groupby

from django.urls import reverse

from zones.panel_settings.sheet import INPUT_DEVICES

FORM_OF = {
    "panel": "panel-update",
    "setting": "setting-update",
    "circuit": "circuit-update",
    "line": "line-update",
    "device": "position-update",
}
# Read from the rules, not from a field of its own.
FROM_RULES = ("function", "dependency", "fault")


@dataclass(frozen=True)
class DeviceRow:
    """Devices that follow each other and are set alike; `devices`: [(tag, address of its form)]."""

    devices: list
    lines: list


@dataclass(frozen=True)
class Section:
    """`lines`: [(line, address of the form that changes it)]; input devices have `device_rows` in their place."""

    name: str
    lines: list
    device_rows: list

    @property
    def devices(self):
        return sum(len(row.devices) for row in self.device_rows)

    @property
    def not_known(self):
        return sum(not line.is_known for line, _ in self.lines)


def sections_of(sheet, *, with_forms):
    """The sections of a sheet; without forms nothing leads to where it is changed."""
    sections = []
    for name, lines in sheet.sections:
        linked = [(line, _form_url_of(line, sheet.panel) if with_forms else "") for line in lines]
        sections.append(Section(name, linked, _device_rows(linked) if name == INPUT_DEVICES else []))
    return sections


def _form_url_of(line, panel):
    """Where a line of the sheet is changed: the form of its record, or the panel's cause and effect."""
    owner, key, field = line.key.split("-", 2)
    if owner == "on" or field in FROM_RULES:
        return reverse("rule-matrix", args=[panel.pk])
    if owner in FORM_OF:
        return reverse(FORM_OF[owner], args=[key])
    return reverse("zone-list", args=[panel.building.slug])


def _device_rows(linked):
    by_device = [list(rows) for _, rows in groupby(linked, key=lambda row: row[0].of)]
    rows = []
    for _, alike in groupby(by_device, key=_what_is_set):
        alike = list(alike)
        # The rules are changed for all of them at one place; what is the device's own, by its tag.
        lines = [(line, url if line.key.endswith(FROM_RULES) else "") for line, url in alike[0]]
        rows.append(DeviceRow([_tag_and_form(one) for one in alike], lines))
    return rows


def _what_is_set(of_device):
    return [replace(line, key="", of="") for line, _ in of_device]


def _tag_and_form(of_device):
    own = [url for line, url in of_device if not line.key.endswith(FROM_RULES)]
    return of_device[0][0].of, own[0]
