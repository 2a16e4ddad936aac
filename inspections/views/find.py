"""Find anything from one box: building, client, job, tag, serial, certificate, visit."""

from dataclasses import dataclass

from django.db.models import Q
from django.shortcuts import redirect, render

from inspections.models import Certificate, Visit
from sites_registry.models import Building, Client, Job
from zones.models import Position, Unit

MOST_PER_KIND = 12


@dataclass(frozen=True)
class Hit:
    """One line of the answer: where it leads, what it is called, what tells it from others."""

    url: str
    name: str
    about: str
    is_code: bool = False


def find(request):
    text = request.GET.get("q", "").replace("\0", "").strip()[:100]
    groups = [(heading, hits) for heading, hits in answers(request.user, text) if hits] if text else []
    hits = [hit for _heading, group in groups for hit in group]
    if len(hits) == 1 and hits[0].name.casefold() == text.casefold():
        return redirect(hits[0].url)
    return render(request, "inspections/find.html", {"text": text, "groups": groups, "most": MOST_PER_KIND})


def answers(user, text):
    """(heading, hits) by kind of record, of what this person may see; at most MOST_PER_KIND of each."""
    yield "Buildings", [
        Hit(b.get_absolute_url(), b.name, b.client.name)
        for b in limited(Building.objects.visible_to(user).with_client().filter(
            Q(name__icontains=text) | Q(address__icontains=text) | Q(client__name__icontains=text)).order_by("name"))
    ]  # fmt: skip
    yield "Positions", [
        Hit(p.get_absolute_url(), p.tag, f"{p.get_kind_display()} · {p.building.name}", True)
        for p in limited(Position.objects.visible_to(user).in_use().filter(tag__icontains=text)
                         .select_related("building").order_by("tag_key"))
    ]  # fmt: skip
    yield "Units by serial", [
        Hit(u.get_absolute_url(), u.serial, str(u.product_model), True)
        for u in limited(Unit.objects.visible_to(user).with_model().filter(
            Q(serial__icontains=text) | Q(batch__iexact=text)).order_by("serial"))
    ]  # fmt: skip
    yield "Certificates", [
        Hit(c.get_absolute_url(), c.number, f"{c.building.name} · {c.get_state_display()}", True)
        for c in limited(Certificate.objects.visible_to(user).with_building().defer("statement")
                         .filter(number__icontains=text).order_by("-number"))
    ]  # fmt: skip
    if user.works_for_the_firm:
        yield from answers_for_the_firm(user, text)


def answers_for_the_firm(user, text):
    yield (
        "Clients",
        [
            Hit(c.get_absolute_url(), c.name, c.address.split("\n")[0])
            for c in limited(Client.objects.visible_to(user).filter(name__icontains=text).order_by("name"))
        ],
    )
    yield "Jobs", [
        Hit(j.get_absolute_url(), j.number, f"{j.get_kind_display()} · {j.building.name}", True)
        for j in limited(Job.objects.visible_to(user).with_building().filter(
            Q(number__icontains=text) | Q(scope__icontains=text)))
    ]  # fmt: skip
    if text.isdecimal() and len(text) < 16:
        yield (
            "Visits",
            [
                Hit(v.get_absolute_url(), str(v), f"{v.get_kind_display()} · {v.building.name}")
                for v in limited(Visit.objects.visible_to(user).with_building().filter(pk=int(text)))
            ],
        )


def limited(records):
    return records[:MOST_PER_KIND]
