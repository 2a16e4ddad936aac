"""The building as IFC 4 (ISO 16739-1): what stands where, of which model, in which zone and system; no geometry.

A program of its own writes it (`ifc_writer.py`), because the library takes more memory than a server should.
"""

import json
import subprocess
import sys
from collections import defaultdict
from importlib.util import find_spec
from pathlib import Path

from django.conf import settings

from inspections.open_records.writing import plain
from zones.models import Fitting, Vent
from zones.models.kinds import facts_of

WRITER = Path(__file__).with_name("ifc_writer.py")
MOST_S = 120
OWN_PROPERTIES = "SmokeControl_Register"  # of our own: names that begin with Pset_ are the standard's


class NoLibrary(Exception):
    """The library that writes IFC is not installed."""


def is_there():
    return find_spec("ifcopenshell") is not None


def ifc_of(building):
    """The bytes of the file. The same record has the same GlobalId each time. Raises NoLibrary."""
    if not is_there():
        raise NoLibrary
    return _run(json.dumps(plan_of(building)))


def faults_of(content):
    """What the library's validator finds in a file, by schema and its rules."""
    return json.loads(_run(content.decode(), "--validate"))


def _run(told, *options):
    run = subprocess.run(  # noqa: S603 our own program, by this Python
        [sys.executable, str(WRITER), *options], input=told.encode(), capture_output=True, timeout=MOST_S, check=True
    )
    return run.stdout


def plan_of(building):
    """All that the writer needs, as plain data."""
    positions = list(building.positions.filter(retired_on=None).select_related("product_model__maker", "smoke_zone"))
    vents = list(Vent.objects.filter(smoke_zone__building=building).select_related("smoke_zone"))
    fittings = Fitting.objects.open().filter(position__in=positions).select_related("unit__product_model__maker")
    fitted = {one.position_id: one for one in fittings}
    spaces = defaultdict(dict)
    for one in positions:
        if one.room:
            spaces[one.storey][one.room] = None
    return {
        "origin": f"{settings.PUBLIC_URL}/{building.slug}",
        "building": building.name,
        "storeys": list(dict.fromkeys([*(one.storey for one in positions), *(one.smoke_zone.storey for one in vents)])),
        "spaces": {storey: list(rooms) for storey, rooms in spaces.items()},
        "elements": [_device(one, fitted.get(one.pk)) for one in positions] + [_vent(one) for one in vents],
        "zones": [_zone(zone, positions) for zone in building.smoke_zones.all()],
        "systems": _systems(building, positions),
    }


def _device(position, fitting):
    entity, predefined = facts_of(position.kind).ifc
    model = fitting.unit.product_model if fitting else position.product_model
    return {
        "kind_of_record": "position",
        "key": position.pk,
        "tag": position.tag,
        "kind": position.get_kind_display(),
        "entity": entity,
        "type": predefined,
        "storey": position.storey,
        "properties": {
            "Pset_ManufacturerTypeInformation": {
                "Manufacturer": model.maker.name if model else "",
                "ModelLabel": model.name if model else "",
            },
            "Pset_ManufacturerOccurrence": {"SerialNumber": fitting.unit.serial if fitting else ""},
            OWN_PROPERTIES: {
                "SmokeZone": str(position.smoke_zone or ""),
                "Room": position.room,
                "Place": position.place,
                "FittedOn": plain(fitting.fitted_on) if fitting else "",
            },
        },
    }


def _vent(vent):
    return {
        "kind_of_record": "vent",
        "key": vent.pk,
        "tag": f"{vent.smoke_zone.number}/{vent.tag}",
        "kind": "vent",
        "entity": "IfcWindow",
        "type": "SKYLIGHT",
        "storey": vent.smoke_zone.storey,
        "properties": {OWN_PROPERTIES: {"SmokeZone": str(vent.smoke_zone)}},
    }


def _zone(zone, positions):
    rooms = dict.fromkeys((one.storey, one.room) for one in positions if one.smoke_zone_id == zone.pk and one.room)
    return {"key": zone.pk, "name": str(zone), "spaces": list(rooms)}


def _systems(building, positions):
    return [
        {
            "key": panel.pk,
            "name": f"Smoke control {panel.tag}",
            "tags": [panel.tag, *(one.tag for one in positions if one.panel_id == panel.pk and one.tag != panel.tag)],
        }
        for panel in building.panels.filter(position__retired_on=None).select_related("position")
    ]
