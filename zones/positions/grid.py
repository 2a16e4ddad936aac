"""Many new positions typed as a table: each row judged as a row of a device list, all made or none."""

from django.db import transaction

from sites_registry.models import Building
from sites_registry.services.refusals import Refused
from zones.device_lists.applying import apply_plans
from zones.device_lists.checking import Checker
from zones.device_lists.snapshot import key
from zones.engineering.findings import counted
from zones.models import DeviceKind
from zones.models.kinds import with_article

MOST_ROWS = 200  # a longer list is imported as a file
COLUMNS = (
    "tag",
    "kind",
    "panel",
    "zone_number",
    "vent_group",
    "vent",
    "circuit_or_line",
    "order_on_line",
    "model",
    "storey",
    "room",
    "place",
)
# The column of the table at which a fault of a device list's column is told.
TOLD_AT = {
    "zone_name": "zone_number",
    "circuit": "circuit_or_line",
    "line": "circuit_or_line",
    "data_link": "circuit_or_line",
    "maker": "model",
}
RUNS = {"actuator_circuit": "circuits", "detection_line": "lines", "data_link": "links"}


class CellsRefused(Refused):
    """`faults`: sentences by (row number, column)."""

    def __init__(self, faults):
        self.faults = faults
        super().__init__(f"{counted(len(faults), 'cell')} to correct; nothing was made.")


class MakesMore(Exception):
    """The rows would also make what the register has not: `makes` names it in words, for a deliberate yes."""

    def __init__(self, makes):
        self.makes = makes
        super().__init__(", ".join(makes))


@transaction.atomic
def add_positions(*, building, rows, by, agreed=()):
    """Make a position of each row (number, cells by column), or nothing; returns them.

    A row that names no panel is on the only one there is; one without a place on its line or circuit counts on.
    Raises CellsRefused; MakesMore where zones, groups, vents, circuits or lines would come with the rows that `agreed`
    does not name.
    """
    building = Building.objects.select_for_update(of=("self",)).get(pk=building.pk)
    checker = Checker(
        building, [(number, [cells.get(name, "") for name in COLUMNS]) for number, cells in rows], COLUMNS
    )
    _put_on_the_only_panel(checker)
    faults = _split_models(checker)
    plans = checker.plans()
    for plan in plans:
        if plan.position is not None and not plan.position.retired_on:
            kind = with_article(plan.position.get_kind_display())
            plan.row.fault(
                "tag",
                f"{building} has '{plan.position.tag}' already, {kind}. Choose another tag, or change that position on "
                "its own page.",
            )
        for fault in plan.row.faults:
            faults.setdefault((fault.row, TOLD_AT.get(fault.column, fault.column)), fault.text)
    if faults:
        raise CellsRefused(faults)
    makes = list(dict.fromkeys(word for plan in plans for word in plan.makes))
    if not set(makes) <= set(agreed):
        raise MakesMore(makes)
    _count_on(plans, checker.snapshot)
    apply_plans(plans, checker, by=by, reason=f"table of {counted(len(plans), 'position')}")
    return [plan.position for plan in plans]


def _put_on_the_only_panel(checker):
    """Nobody types the panel of a building that has one, stored or in these rows."""
    panels = {**checker.index.panels, **{name: panel.tag for name, panel in checker.snapshot.panels.items()}}
    if len(panels) != 1:
        return
    ((name, tag),) = panels.items()
    for row in checker.rows:
        if row.cells and key(row.cells.get("tag", "")) != name:
            row.cells.setdefault("panel", tag)
    for number in {name for name, _ in checker.index.zone_names.items()}:
        checker.index.zone_panels.setdefault(number, name)


def _split_models(checker):
    """Each model by maker and name, as lists name it: "Tarn Works OD 9". Returns the faults of names not known."""
    known = {key(f"{model.maker.name} {model.name}"): model for model in checker.snapshot.models.values()}
    by_name = {}
    for model in checker.snapshot.models.values():
        by_name.setdefault(key(model.name), []).append(model)
    faults = {}
    for row in checker.rows:
        if not (text := row.cells.get("model")):
            continue
        alike = by_name.get(key(text), [])
        model = known.get(key(text)) or (alike[0] if len(alike) == 1 else None)
        if model:
            row.cells["maker"], row.cells["model"] = model.maker.name, model.name
            continue
        del row.cells["model"]
        faults[row.number, "model"] = (
            f"'{text}' is the name of {len(alike)} models. Write the maker before it."
            if alike
            else f"No product model is called '{text}'. Choose one of the list, or add it under Units, Product models."
        )
    return faults


def _count_on(plans, snapshot):
    """The place on its line or circuit of each row that says none, where those before it have one."""
    last = {}
    for plan in plans:
        for attribute, known in RUNS.items():
            name = plan.fields.get(attribute)
            if name is None:
                continue
            run = attribute, name
            if run not in last:
                last[run] = _last_place(snapshot, attribute, getattr(snapshot, known).get(name))
            if plan.fields.get("order_on_line") is not None:
                last[run] = max(last[run] or 0, plan.fields["order_on_line"])
            elif last[run] is not None:
                last[run] += 1
                plan.fields["order_on_line"] = last[run]


def _last_place(snapshot, attribute, record):
    """The highest place in use on a stored run; 0 for a new or empty one, None where one of its devices has none."""
    if record is None:
        return 0
    places = [
        position.order_on_line
        for position in snapshot.positions.values()
        if getattr(position, f"{attribute}_id") == record.pk
        and not position.retired_on
        and position.kind != DeviceKind.JUNCTION_BOX
    ]
    return None if None in places else max(places, default=0)
