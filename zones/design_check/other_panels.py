"""Vents of a panel's zones that another panel drives: that panel's records, read where an inlet asks for them."""

from zones.design_check.records import read_panels
from zones.design_check.smoke_causes import is_driven_inlet
from zones.models import ControlPanel


def add_others(records):
    """Give each panel with an inlet that another panel drives its `others`; nothing is read where there is none."""
    wanted = {one.panel.pk: _drivers_of_inlets(one) - {one.panel.pk} for one in records}
    read = {one.panel.pk: one for one in records}
    if lacking := set().union(*wanted.values()) - set(read):
        read.update((one.panel.pk, one) for one in read_panels(ControlPanel.objects.filter(pk__in=lacking)))
    for one in records:
        one.others = [read[key] for key in sorted(wanted[one.panel.pk])]


def _drivers_of_inlets(records):
    """Keys of the panels whose outputs move the inlets of these zones."""
    inlets = [vent.pk for vent in records.vents if is_driven_inlet(vent)]
    circuits = [position.actuator_circuit for pk in inlets for position in records.movers[pk]]
    return {circuit.panel_id for circuit in circuits if circuit}
