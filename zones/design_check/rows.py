"""Rows of what a design check reads in great number: plain, because making records of them would be half the reading.

Nothing is judged or computed here, and nothing of a row is turned that nobody looks at.
"""

from collections import namedtuple
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from operator import attrgetter
from typing import NamedTuple

from django.db import connections
from django.db.models import FilteredRelation, Q

from zones.models import (
    ActuatorCircuit,
    DetectionLine,
    ProductModel,
    SmokeZone,
    Vent,
    VentGroup,
)


@dataclass(slots=True)
class PositionRow:
    """What a check needs of a position.

    `model_here`: ProductModel of what is fitted there, else of what is planned, or None; `serial_here` may be empty.
    """

    pk: int
    tag: str
    kind: str
    order_on_line: int | None
    panel_id: int | None
    smoke_zone_id: int | None
    vent_group_id: int | None
    vent_id: int | None
    actuator_circuit_id: int | None
    detection_line_id: int | None
    data_link_id: int | None
    model_here: ProductModel | None
    serial_here: str
    smoke_zone: SmokeZone | None = None
    actuator_circuit: ActuatorCircuit | None = None
    detection_line: DetectionLine | None = None

    def __str__(self):
        return self.tag


class CableRow(NamedTuple):
    """What a check needs of a cable. Figures are as the database driver gives them: Decimal or float."""

    pk: int
    tag: str
    # What it is, from here to the fire rating: few kinds of cable in a portfolio.
    area_mm2: Decimal | None
    awg: str
    conductor_class: str
    is_tinned: bool
    cores_per_pole: int | None
    insulation: str
    method: str
    grouped_circuits: int | None
    ambient_c: Decimal | None
    fire_class: str
    integrity_min: int | None
    fixing_min: int | None
    fire_rating: str
    length_m: Decimal | None
    hot_length_m: Decimal | None
    actuator_circuit_id: int | None
    detection_line_id: int | None
    upstream_id: int | None
    feeds_id: int | None

    @property
    def figures(self):
        """What it is, whatever it is called and wherever it runs."""
        return self[2:-6]

    @classmethod
    def of_figures(cls, figures):
        """A cable of these figures, without name, length and place."""
        return cls(None, "", *figures, *[None] * 6)


# What a vent is beside its names and its place: all that engineering is told of it.
VENT_NAMED_BY = ("id", "row_version", "smoke_zone_id", "tag", "declaration_reference")
VENT_FIGURES = tuple(one.attname for one in Vent._meta.concrete_fields if one.attname not in VENT_NAMED_BY)
# Vents and groups with every column, so that a figure added later is there too; the figures of a vent side by side.
COLUMNS_OF = {
    Vent: [*VENT_NAMED_BY, *VENT_FIGURES],
    VentGroup: [field.attname for field in VentGroup._meta.concrete_fields],
}
ROW_OF = {
    model: type(
        f"{model.__name__}Row",
        (namedtuple("_Row", ["pk", *columns, "smoke_zone"]),),
        {"__slots__": (), "__str__": model.__str__},  # sentences call it as pages do
    )
    for model, columns in COLUMNS_OF.items()
}
VENT_ROW = ROW_OF[Vent]
_FIRST_FIGURE = 1 + len(VENT_NAMED_BY)


def figures_of_vent(vent):
    """What a vent is, in the order of VENT_FIGURES; of a row or of a record."""
    return vent[_FIRST_FIGURE:-1] if type(vent) is VENT_ROW else _vent_figures(vent)


_vent_figures = attrgetter(*VENT_FIGURES)
OF_POSITION = (
    "pk",
    "tag",
    "kind",
    "order_on_line",
    "panel_id",
    "smoke_zone_id",
    "vent_group_id",
    "vent_id",
    "actuator_circuit_id",
    "detection_line_id",
    "data_link_id",
)


def as_stored(rows):
    """Values of these rows (a queryset of values) as the database driver gives them.

    To turn each figure into a Decimal on the way takes longer than to read it, and engineering reckons with floats.
    """
    sql, parameters = rows.query.sql_with_params()
    with connections[rows.db].cursor() as cursor:
        cursor.execute(sql, parameters)
        return cursor.fetchall()


def plain(rows):
    """These rows (a queryset) as named tuples of all their columns, with `pk`: no relation leads on from them."""
    columns = [one.attname for one in rows.model._meta.concrete_fields if not one.primary_key]
    return map(_tuple_of(rows.model, *columns)._make, as_stored(rows.values_list("pk", *columns)))


@cache
def _tuple_of(model, *columns):
    return namedtuple(f"{model.__name__}Plain", ["pk", *columns])


def with_models(positions):
    """Rows of these positions (a queryset) in the order of their line, with what is fitted there, else planned."""
    found = (
        # At most one row joins: the database keeps one open fitting per position.
        positions.annotate(open_fitting=FilteredRelation("fittings", condition=Q(fittings__removed_on=None)))
        .order_by("order_on_line", "tag_key")
        .values_list(
            *OF_POSITION, "open_fitting__unit__product_model", "product_model_id", "open_fitting__unit__serial"
        )
    )
    rows = as_stored(found)
    models = ProductModel.objects.with_maker().in_bulk({fitted or planned for *_, fitted, planned, _ in rows} - {None})
    made = [PositionRow(*row, models.get(fitted or planned), serial or "") for *row, fitted, planned, serial in rows]
    # Those without an order come last, whatever the database thinks of empty values.
    return sorted(made, key=lambda position: position.order_on_line is None)
