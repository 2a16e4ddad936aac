"""Builders of people, clients, buildings and jobs."""

from datetime import date, timedelta

from django.utils import timezone

from sites_registry.access import Role
from sites_registry.models import Building, Client, Contact, HandedOverDocument, Invitation, Job, Person, Variation
from sites_registry.services.people import hash_of
from tests.builders.saving import count, save

PASSWORD = "ropes-and-tar-1907"


def make_person(role=Role.OFFICE, **fields):
    number = next(count)
    fields = {"email": f"person{number}@tarn.example", "full_name": f"Person {number}", **fields}
    return Person.objects.create_user(password=fields.pop("password", PASSWORD), role=role, **fields)


def make_invitation(invited_by=None, token=None, buildings=(), **fields):
    number = next(count)
    fields = {
        "email": f"guest{number}@tarn.example",
        "full_name": f"Guest {number}",
        "role": Role.MANAGER,
        "expires_at": timezone.now() + timedelta(days=14),
        **fields,
    }
    token = token or f"token-{number}"
    invitation = save(Invitation(invited_by=invited_by or make_person(), token_hash=hash_of(token), **fields))
    invitation.buildings.set(buildings)
    return invitation


def make_client(**fields):
    return save(Client(**{"name": f"Client {next(count)}", **fields}))


def make_building(client=None, **fields):
    number = next(count)
    managers = fields.pop("managers", [])
    fields = {"name": f"Building {number}", "slug": f"building-{number}", **fields}
    building = save(Building(client=client or make_client(), **fields))
    building.managers.set(managers)
    return building


def make_job(building=None, **fields):
    fields = {
        "number": f"J-2026-{next(count):03}",
        "kind": Job.Kind.SERVICE,
        "scope": "Yearly service.",
        **fields,
    }
    return save(Job(building=building or make_building(), **fields))


def make_contact(client=None, **fields):
    return save(Contact(client=client or make_client(), **{"name": f"Contact {next(count)}", **fields}))


def make_variation(building=None, **fields):
    fields = {
        "what": "Call point at the second stair left out.",
        "why": "Stair is not an escape route.",
        "agreed_by": "Fire officer of Tarn",
        "agreed_on": date(2024, 5, 2),
        **fields,
    }
    return save(Variation(building=building or make_building(), **fields))


def make_handed_over(job=None, **fields):
    fields = {
        "kind": HandedOverDocument.Kind.INSTRUCTIONS,
        "title": f"Instructions {next(count)}",
        "handed_over_on": date(2026, 3, 2),
        "handed_over_to": "Mara Hollin",
        **fields,
    }
    return save(HandedOverDocument(job=job or make_job(), **fields))
