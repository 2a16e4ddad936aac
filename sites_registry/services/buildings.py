"""Buildings: register one, propose its address, say who manages it."""

from django.db import transaction
from django.utils.text import slugify

from sites_registry.access import Role
from sites_registry.models import Building, Client, Person
from sites_registry.services.refusals import Refused

RESERVED_SLUGS = {"new"}  # pages of the register under /buildings/
LONGEST_SLUG = 80


class ManagerRefused(Refused):
    """This person cannot manage buildings."""


def propose_slug(name):
    """A free address for a building of this name: ropewalk-hall, ropewalk-hall-2 …"""
    stem = slugify(name)[:LONGEST_SLUG].strip("-") or "building"
    taken = set(Building.objects.filter(slug__startswith=stem[: LONGEST_SLUG - 6]).values_list("slug", flat=True))
    slug, number = stem, 1
    while slug in taken | RESERVED_SLUGS:
        number += 1
        slug = f"{stem[: LONGEST_SLUG - 6]}-{number}"
    return slug


@transaction.atomic
def register_building(*, building, new_client_name=""):
    """Store a building that is filled in; with a name of a client not yet registered, register that one too."""
    if new_client_name:
        client = Client(name=new_client_name)
        client.full_clean()
        client.save()
        building.client = client
    building.slug = building.slug or propose_slug(building.name)
    building.full_clean()
    building.save()
    return building


@transaction.atomic
def assign_manager(*, building, person):
    """Let a building manager see this building; assigning twice changes nothing. Raises ManagerRefused."""
    person = Person.objects.select_for_update().get(pk=person.pk)
    if person.role != Role.MANAGER:
        raise ManagerRefused(
            f"{person.full_name} is {person.get_role_display()} and sees all buildings. "
            "Only building managers are assigned to buildings."
        )
    building.managers.add(person)


@transaction.atomic
def remove_manager(*, building, person):
    """Let a building manager see this building no more; removing twice changes nothing."""
    building.managers.remove(person)
