"""The columns of a device list, and the headings by which lists of the trade call them."""

import re
import unicodedata
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True)
class Column:
    """One column: `key` in code, `heading` on export and in faults, `limit` characters at most."""

    key: str
    heading: str
    limit: int
    synonyms: tuple = ()


COLUMNS = (
    Column(
        "tag",
        "Tag",
        40,
        (
            "ref",
            "reference",
            "device tag",
            "device ref",
            "device reference",
            "device",
            "id",
            "device id",
            "device no",
            "device number",
            "device code",
            "designation",
            "tag no",
            "tag number",
            "item",
            "label",
            "mark",
        ),
    ),
    Column(
        "kind",
        "Kind",
        60,
        (
            "type",
            "device type",
            "kind of device",
            "device kind",
            "category",
            "function",
            "equipment",
            "description",
            "device description",
        ),
    ),
    Column(
        "panel",
        "Panel",
        40,
        (
            "control panel",
            "panel tag",
            "panel ref",
            "panel no",
            "panel number",
            "panel id",
            "fed from",
            "controlled by",
            "ctrl panel",
        ),
    ),
    Column(
        "zone_number",
        "Zone no.",
        20,
        ("zone", "zone number", "smoke zone", "smoke zone no", "smoke zone number", "zone no", "zone id", "sz"),
    ),
    Column("zone_name", "Zone name", 120, ("smoke zone name", "zone description", "zone title", "area", "zone area")),
    Column(
        "vent_group",
        "Vent group",
        20,
        ("group", "group no", "group number", "vent group no", "vent group number", "ventilation group"),
    ),
    Column(
        "vent",
        "Vent",
        40,
        ("vent tag", "vent ref", "vent no", "window", "window no", "window ref", "opening", "nshev", "aov"),
    ),
    Column(
        "circuit",
        "Circuit no.",
        60,
        (
            "circuit",
            "circuit number",
            "actuator circuit",
            "output",
            "output no",
            "output number",
            "motor circuit",
            "actuator output",
        ),
    ),
    Column(
        "line",
        "Line no.",
        60,
        (
            "line",
            "line number",
            "detection line",
            "detection line no",
            "input",
            "input no",
            "input line",
            "detector line",
        ),
    ),
    Column("data_link", "Data link no.", 60, ("data link", "data link number", "link", "link no", "link number")),
    Column(
        "circuit_or_line",
        "Circuit / line",
        60,
        (
            "circuit or line",
            "line circuit",
            "line or circuit",
            "line circuit no",
            "circuit line no",
            "circuit line number",
            "connected to",
        ),
    ),
    Column(
        "order_on_line",
        "Order on line",
        10,
        (
            "order",
            "order on its line or circuit",
            "order on circuit",
            "position on line",
            "sequence on line",
            "order in line",
            "order on the line",
            "pos",
            "line order",
            "order no",
        ),
    ),
    Column("storey", "Storey", 40, ("floor", "level", "story", "floor level", "floor no", "storey no", "storeys")),
    Column("room", "Room", 80, ("room name", "room no", "room number", "space")),
    Column(
        "place",
        "Place",
        200,
        (
            "location",
            "location description",
            "description of location",
            "where",
            "exact location",
            "position",
            "detailed place",
            "fixing position",
            "location detail",
            "loc",
        ),
    ),
    Column(
        "access_need",
        "Access",
        120,
        ("access need", "access equipment", "means of access", "access required", "reached by"),
    ),
    Column(
        "walking_order",
        "Walking order",
        12,
        ("walk order", "walking sequence", "walk", "route", "test order", "inspection order", "sequence"),
    ),
    Column("maker", "Maker", 80, ("manufacturer", "make", "brand", "mfr", "manufactured by")),
    Column(
        "model",
        "Model",
        80,
        (
            "product model",
            "model no",
            "model number",
            "product",
            "part no",
            "part number",
            "article",
            "article no",
            "order code",
            "product code",
            "model type",
        ),
    ),
    Column(
        "serial",
        "Serial",
        60,
        ("serial no", "serial number", "s n", "sn", "ser no", "serial nr", "serials", "unit serial"),
    ),
    Column(
        "batch",
        "Date code",
        40,
        (
            "batch",
            "batch or date code",
            "batch no",
            "batch number",
            "date code batch",
            "lot",
            "lot no",
            "batch date code",
        ),
    ),
    Column(
        "fitted_on",
        "Fitted on",
        20,
        (
            "fitted",
            "date fitted",
            "installed",
            "installed on",
            "installation date",
            "install date",
            "date installed",
            "fitted date",
            "date of installation",
        ),
    ),
)
COLUMN = {column.key: column for column in COLUMNS}
# What an export holds: `circuit_or_line` is only a loose way to write the two before it.
EXPORTED = tuple(column for column in COLUMNS if column.key != "circuit_or_line")


def plain_heading(text: str) -> str:
    """A heading without case, accents, punctuation and what stands in brackets: "Serial no. (label)" → "serial no"."""
    text = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode().casefold()
    text = re.sub(r"\([^)]*\)|\[[^\]]*\]", " ", text)
    return " ".join(re.sub(r"[^a-z0-9]+", " ", text).split())


_KEY_OF = {}
for _column in COLUMNS:
    for _name in (_column.heading, _column.key, *_column.synonyms):
        _KEY_OF.setdefault(plain_heading(_name), _column.key)


def key_of_heading(text: str, *, loosely=True) -> str:
    """The column that a heading means, or "". Loosely: a slip of the pen ("Seriel no") is forgiven."""
    plain = plain_heading(text)[:80]
    if not plain:
        return ""
    if key := _KEY_OF.get(plain):
        return key
    # Short words differ in one letter by right ("zone", "tone"): only longer ones are matched with a slip.
    if loosely and len(plain) >= 5 and (close := get_close_matches(plain, _KEY_OF, n=1, cutoff=0.86)):
        return _KEY_OF[close[0]]
    return ""


def match_headings(headings: list[str]) -> list[str]:
    """A column key, or "", for each heading; none is given twice, an exact match goes before a loose one."""
    keys = [""] * len(headings)
    for loosely in (False, True):
        for index, heading in enumerate(headings):
            if not keys[index] and (key := key_of_heading(heading, loosely=loosely)) and key not in keys:
                keys[index] = key
    return keys
