"""Checked rows into the register, all or nothing, in bulk and still with history."""

from django.db import transaction
from django.utils import timezone
from simple_history.utils import bulk_create_with_history

from zones.device_lists.snapshot import key
from zones.engineering.natural_order import natural_key
from zones.models import (
    ActuatorCircuit,
    ControlPanel,
    DataLink,
    DetectionLine,
    DeviceKind,
    Fitting,
    Maker,
    Position,
    ProductModel,
    SmokeZone,
    Unit,
    Vent,
    VentGroup,
)

BATCH = 500
REASON_REMOVED = "Replaced according to an imported device list."
# What a panel's position may point at only after panels, zones and outputs exist.
WIRING = ("panel", "smoke_zone", "vent_group", "vent", "actuator_circuit", "detection_line", "data_link")


@transaction.atomic
def apply_plans(plans, checker, *, by, reason):
    """Carry out plans without faults against the snapshot they were made from, in the same transaction."""
    _Applying(checker.snapshot, checker.index, by, reason).carry_out(plans)


class _Applying:
    """One run. Records made on the way join the snapshot, so that later steps find them by name."""

    def __init__(self, snapshot, index, by, reason):
        self.known, self.index, self.by = snapshot, index, by
        self.history = {
            "batch_size": BATCH,
            "default_user": by,
            "default_change_reason": reason,
            "default_date": timezone.now(),
        }

    def carry_out(self, plans):
        new = [plan for plan in plans if plan.position is None]
        new_panels = [plan for plan in new if plan.kind == DeviceKind.CONTROL_PANEL]
        others = [plan for plan in new if plan.kind != DeviceKind.CONTROL_PANEL]
        stored = [plan for plan in plans if plan.position is not None and plan.fields]
        self._make_models(plans)
        self._make_panels(new_panels)
        self._make_zones(plans)
        self._make_parts(plans)
        self._make_positions(others)
        # A panel fed by another panel points at it only now that both exist.
        self._change_positions([*stored, *(plan for plan in new_panels if set(plan.fields) & set(WIRING))])
        self._put_units([plan for plan in plans if plan.unit])

    def _create(self, model, records):
        return bulk_create_with_history(records, model, **self.history) if records else []

    def _update(self, model, records, fields):
        """Write these fields of stored records, with history.

        As one insert that gives way to an update: bulk_update() needs a CASE per row and field, three times as slow.
        """
        if records:
            model.objects.bulk_create(
                records, batch_size=BATCH, update_conflicts=True, unique_fields=["id"], update_fields=sorted(fields)
            )
            model.history.bulk_history_create(records, update=True, **self.history)

    def _make_models(self, plans):
        wanted = {(key(plan.model[0]), key(plan.model[1])): plan.model for plan in plans if plan.model}
        named = {key(maker): maker for maker, _, _ in reversed(wanted.values())}
        makers = {of: Maker(name=name) for of, name in named.items() if of not in self.known.makers}
        Maker.objects.bulk_create(makers.values())
        self.known.makers.update(makers)
        models = [
            ProductModel(maker=self.known.makers[maker_key], name=name, kind=kind)
            for (maker_key, _), (_, name, kind) in wanted.items()
        ]
        for model in self._create(ProductModel, models):
            self.known.models[key(model.maker.name), key(model.name)] = model

    def _make_panels(self, plans):
        self._make_positions(plans, without=WIRING)
        panels = [ControlPanel(building=self.known.building, position=plan.position) for plan in plans]
        for panel in self._create(ControlPanel, panels):
            self.known.panels[key(panel.position.tag)] = panel

    def _make_zones(self, plans):
        names = dict(plan.zone_name for plan in plans if plan.zone_name)
        new = [
            SmokeZone(
                building=self.known.building,
                number=number,
                name=name,
                panel=self.known.panels.get(self.index.zone_panels.get(number)),
            )
            for number, name in names.items()
            if number not in self.known.zones
        ]
        renamed = []
        for number, name in names.items():
            if zone := self.known.zones.get(number):
                zone.name = name
                zone.count_change()
                renamed.append(zone)
        self._update(SmokeZone, renamed, ["name", "row_version"])
        self.known.zones.update({zone.number: zone for zone in self._create(SmokeZone, new)})

    def _make_parts(self, plans):
        """Vents, groups, circuits, lines and data links that rows name and the register has not."""
        zones, panels = self.known.zones, self.known.panels
        makers = (
            ("vent_group", VentGroup, self.known.groups, lambda z, n, _: VentGroup(smoke_zone=zones[z], number=n)),
            ("vent", Vent, self.known.vents, lambda z, _, text: Vent(smoke_zone=zones[z], tag=text)),
            (
                "actuator_circuit",
                ActuatorCircuit,
                self.known.circuits,
                lambda p, n: ActuatorCircuit(panel=panels[p], number=n),
            ),
            ("detection_line", DetectionLine, self.known.lines, lambda p, n: DetectionLine(panel=panels[p], number=n)),
            ("data_link", DataLink, self.known.links, lambda p, n: DataLink(panel=panels[p], number=n)),
        )
        for attribute, model, known, make in makers:
            new = {}
            for plan in plans:
                if (name := plan.fields.get(attribute)) and name[:2] not in known:
                    new.setdefault(name[:2], make(*name))
            known.update(zip(new, self._create(model, list(new.values())), strict=True))

    def _record_of(self, attribute, name):
        known = {
            "panel": self.known.panels,
            "smoke_zone": self.known.zones,
            "vent_group": self.known.groups,
            "vent": self.known.vents,
            "actuator_circuit": self.known.circuits,
            "detection_line": self.known.lines,
            "data_link": self.known.links,
            "product_model": self.known.models,
        }
        if attribute not in known:
            return name
        return known[attribute][name[:2] if isinstance(name, tuple) else name]

    def _make_positions(self, plans, without=()):
        positions = []
        for plan in plans:
            tag = plan.row.cells["tag"]
            position = Position(building=self.known.building, tag=tag, tag_key=natural_key(tag), kind=plan.kind)
            for attribute, name in plan.fields.items():
                if attribute not in without:
                    setattr(position, attribute, self._record_of(attribute, name))
            positions.append(position)
        for plan, position in zip(plans, self._create(Position, positions), strict=True):
            plan.position = position

    def _change_positions(self, plans):
        changed = {"row_version"}
        for plan in plans:
            plan.position.count_change()
            for attribute, name in plan.fields.items():
                setattr(plan.position, attribute, self._record_of(attribute, name))
                changed.add(attribute)
        self._update(Position, [plan.position for plan in plans], changed)

    def _put_units(self, plans):
        self._make_units([plan.unit for plan in plans if plan.unit.unit is None])
        self._change_units([plan.unit for plan in plans])
        # Before any opens: a unit may go from one position of the file to another.
        self._close_fittings([plan.unit for plan in plans if plan.unit.closes])
        self._correct_dates([plan.unit for plan in plans if plan.unit.corrects])
        fittings = [
            Fitting(position=plan.position, unit=plan.unit.unit, fitted_on=plan.unit.fitted_on, fitted_by=None)
            for plan in plans
            if plan.unit.opens
        ]
        self._create(Fitting, fittings)

    def _make_units(self, units):
        records = []
        for unit in units:
            model = self.known.models[unit.model_key]
            records.append(Unit(product_model=model, maker=model.maker, serial=unit.serial, batch=unit.batch))
        for unit, record in zip(units, self._create(Unit, records), strict=True):
            unit.unit = record

    def _change_units(self, units):
        changed = []
        for unit in units:
            if unit.batch and unit.batch != unit.unit.batch:
                unit.unit.batch = unit.batch
                unit.unit.count_change()
                changed.append(unit.unit)
        self._update(Unit, changed, ["batch", "row_version"])

    def _close_fittings(self, units):
        for unit in units:
            fitting = unit.closes
            fitting.removed_on, fitting.removed_by, fitting.reason_removed = unit.fitted_on, self.by, REASON_REMOVED
        fields = ["removed_on", "removed_by", "reason_removed"]
        self._update(Fitting, [unit.closes for unit in units], fields)

    def _correct_dates(self, units):
        for unit in units:
            unit.corrects.fitted_on = unit.fitted_on
        self._update(Fitting, [unit.corrects for unit in units], ["fitted_on"])
