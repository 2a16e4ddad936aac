"""What a new register needs before it can be of use, for its office: a list until every step is done."""

from dataclasses import dataclass

from django.db.models import Exists, Subquery
from django.urls import reverse

from inspections.models import Visit
from sites_registry.access import Role
from sites_registry.models import Building, Client, Firm, Invitation, Person
from zones.models import Position
from zones.panels.set_up import SetUpStep


@dataclass(frozen=True)
class FirstSteps:
    """The steps in their order, with the next one; no steps once all are done."""

    steps: list
    next_step: SetUpStep | None
    has_building: bool
    has_visit: bool


def first_steps(user):
    """How far the office has come. One query, however much there is."""
    there = _what_is_there(user)
    steps = [_firm(there), _people(there), _client_and_building(there), _devices(there), _visit(there)]
    for step in steps:
        step.add_url = step.add_url and f"{step.add_url}{'&' if '?' in step.add_url else '?'}next={reverse('home')}"
    upcoming = _next_to_act_on(steps, waiting_for=steps[1] if steps[1].missing else None)
    return FirstSteps(steps if upcoming else [], upcoming, bool(there["building"]), there["visit"])


def _next_to_act_on(steps, waiting_for):
    """The first step not done that the office can do itself; only then the one where somebody else is awaited."""
    undone = [step for step in steps if step.add_url and not step.is_done]
    return next((step for step in undone if step is not waiting_for), next(iter(undone), None))


def _what_is_there(user):
    first_building = Building.objects.visible_to(user).order_by("pk")[:1]
    return (
        Person.objects.filter(pk=user.pk)
        .values(
            firm=Exists(Firm.objects.exclude(name=Firm._meta.get_field("name").default)),
            engineer=Exists(Person.objects.visible_to(user).engineers()),
            invited=Exists(Invitation.objects.visible_to(user).waiting().filter(role=Role.ENGINEER)),
            client=Exists(Client.objects.visible_to(user)),
            building=Subquery(first_building.values("slug")),
            building_name=Subquery(first_building.values("name")),
            position=Exists(Position.objects.visible_to(user)),
            visit=Exists(Visit.objects.visible_to(user)),
        )
        .get()
    )


def _firm(there):
    return SetUpStep(
        "The firm",
        "Name, address and registration, as they are to stand on certificates.",
        there["firm"],
        add_url=reverse("firm-update"),
        add_word="Change the firm" if there["firm"] else "Enter the firm",
    )


def _people(there):
    step = SetUpStep(
        "People",
        "An engineer, who carries out the visits. Building managers are invited later, for their buildings.",
        there["engineer"] or there["invited"],
        see_url=reverse("person-list"),
        add_url=f"{reverse('invitation-create')}?role={Role.ENGINEER}",
        add_word="Invite an engineer",
    )
    if there["engineer"]:
        step.add_url, step.add_word = reverse("invitation-create"), "Invite somebody"
    elif there["invited"]:
        step.missing = ["the engineer's invitation is not taken up yet"]
        step.add_url, step.add_word = reverse("invitation-list"), "See the invitation"
    return step


def _client_and_building(there):
    step = SetUpStep("Client and building", "Who commissions the work, and the building it is in.", there["client"])
    if there["building"]:
        step.see_url = reverse("building-list")
        step.add_url, step.add_word = reverse("building-create"), "Add another building"
    elif there["client"]:
        step.missing = ["no building yet"]
        step.add_url, step.add_word = reverse("building-create"), "Add a building"
    else:
        step.add_url, step.add_word = reverse("client-create"), "Add a client"
    return step


def _devices(there):
    step = SetUpStep(
        "Devices", "Panel, smoke zones and devices: step by step, or from a device schedule.", there["position"]
    )
    if there["building"]:
        step.add_url, step.add_word = _of_building("building-set-up", there), f"Set up {there['building_name']}"
    else:
        step.there += " Once there is a building."
    return step


def _visit(there):
    step = SetUpStep("First visit", "An inspection or a commissioning, planned for an engineer.", there["visit"])
    if there["position"]:
        step.add_url, step.add_word = f"{reverse('visit-create')}?building={there['building']}", "Plan a visit"
    else:
        step.there += " Once there are devices to test."
    return step


def _of_building(url_name, there):
    return reverse(url_name, args=[there["building"]])
