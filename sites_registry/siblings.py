"""The bar of sibling pages of a building or a panel, the same on each. What an app has, it says in its `menu.py`."""

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module

from django.apps import apps
from django.core.exceptions import ImproperlyConfigured
from django.db.models import Func, IntegerField, Subquery
from django.urls import reverse
from django.utils.module_loading import module_has_submodule

from sites_registry.access import STAFF_ROLES, Role
from sites_registry.read_once import read_once

EVERYBODY = tuple(Role)

# In the order of the bar. Who sees a page stands with its entry.
ORDER = {
    "building": (
        "building-detail",
        "position-list",
        "floor-plan-list",
        "panel-list",
        "zone-list",
        "cable-list",
        "building-design-check",
        "building-visits",
        "building-defects",
        "log-book",
        "schedule-list",
        "building-particulars",
    ),
    "panel": (
        "panel-detail",
        "panel-wiring",
        "rule-matrix",
        "panel-proof",
        "simulator",
        "panel-settings-sheet",
        "panel-design-check",
        "wiring-diagram",
        "zone-overview",
        "panel-commissioning-plan",
        "panel-record",
    ),
    "visit": ("visit-detail", "visit-plan", "visit-field", "visit-finish"),
}
ADDRESSED_BY = {"building": "slug", "panel": "pk", "visit": "pk"}


@dataclass(frozen=True)
class Sibling:
    """A page of a record.

    `rows` gives a queryset of what it lists, filtered by `OuterRef("pk")` of the record: its number stands beside the
    word. `also` names pages that lie below it and leave it marked; `applies` says of which records it is a page at all.
    """

    page: str
    word: str
    roles: tuple = STAFF_ROLES
    rows: Callable | None = None
    also: tuple = ()
    applies: Callable = lambda record: True


PAGES = {}


def read_siblings():
    """Take the sibling pages of each app that has a `menu.py`; called once all apps are loaded.

    Raises:   ImproperlyConfigured: a bar names a page that no app has.
    """
    for app in apps.get_app_configs():
        if module_has_submodule(app.module, "menu"):
            PAGES.update({one.page: one for one in getattr(import_module(f"{app.name}.menu"), "SIBLINGS", ())})
    named = {page for pages in ORDER.values() for page in pages}
    if lacking := sorted(named - set(PAGES)):
        raise ImproperlyConfigured(f"No menu.py of an app has a sibling page for {', '.join(lacking)}.")


def siblings_of(kind, record, *, role, page):
    """The sibling pages of a record that a role sees, `page` (name of an address) marked; one query for all numbers."""
    shown = [PAGES[name] for name in ORDER[kind] if role in PAGES[name].roles and PAGES[name].applies(record)]
    numbers = _numbers(record, tuple(one for one in shown if one.rows))
    argument = getattr(record, ADDRESSED_BY[kind])
    return [
        {
            "word": one.word,
            "url": reverse(one.page, args=[argument]),
            "number": numbers.get(one.page),
            "is_here": page == one.page or page in one.also,
        }
        for one in shown
    ]


@read_once
def _numbers(record, counted):
    if not counted:
        return {}
    expressions = [_number_of(one.rows()) for one in counted]
    row = type(record)._base_manager.filter(pk=record.pk).values_list(*expressions).get()
    return {one.page: number for one, number in zip(counted, row, strict=True)}


def _number_of(rows):
    """How many rows, as an expression: a plain function, as an aggregate would bring a grouping by row with it."""
    counted = rows.order_by().values(how_many=Func("pk", function="COUNT"))
    return Subquery(counted, output_field=IntegerField())
