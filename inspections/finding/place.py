"""The building one is in, read from the address of the page on which the find box was used."""

from inspections.models import Certificate, Defect, Visit
from sites_registry.models import Building, Job
from zones.models import Cable, ControlPanel, Position

MOST_DIGITS = 15  # what every database takes as a key
OF_ADDRESS = {
    "visits": (Visit, "pk"),
    "defects": (Defect, "pk"),
    "panels": (ControlPanel, "pk"),
    "positions": (Position, "pk"),
    "cables": (Cable, "pk"),
    "jobs": (Job, "number"),
    "certificates": (Certificate, "number"),
}


def building_of_address(user, path):
    """The building to which the page of this path belongs, if this person may see both; else None."""
    noun, _, rest = path.strip("/").partition("/")
    key = rest.split("/")[0]
    buildings = Building.objects.visible_to(user)
    if noun == "buildings" and key:
        return buildings.filter(slug=key).first()
    if noun not in OF_ADDRESS:
        return None
    model, field = OF_ADDRESS[noun]
    if field == "pk" and not (key.isdecimal() and len(key) <= MOST_DIGITS):
        return None
    records = model.objects.visible_to(user).filter(**{field: key})
    return buildings.filter(pk__in=records.values("building")).first()
