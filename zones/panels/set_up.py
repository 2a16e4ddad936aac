"""Setting up a building: which step is done, what is missing in it, what comes next."""

from dataclasses import dataclass, field

from django.db.models import Count, Exists, F, OuterRef, Q
from django.urls import reverse

from sites_registry.access import Role
from zones.engineering.area_methods import METHODS, Family
from zones.models import ActuatorCircuit, DetectionLine, DeviceKind, Fitting, InputDevice
from zones.models.kinds import DRIVES, kinds_where
from zones.panels.contents import LINE_KINDS
from zones.positions.identical_units import progress_of

GIVE_NO_AREA = [key for key, method in METHODS.items() if method.family is Family.PLUME]  # a sanity check alone
# Weather and the fire alarm may act on every zone, a battery serves the panel: that they name none is no fault.
OF_THE_WHOLE_BUILDING = kinds_where(lambda facts: not facts.needs_zone)


@dataclass
class SetUpStep:
    """One step of the set-up: what is there (`count`), what is missing, and where it is added or seen."""

    title: str
    there: str
    is_begun: bool
    missing: list = field(default_factory=list)
    add_url: str = ""
    add_word: str = ""
    see_url: str = ""
    more: list = field(default_factory=list)  # further (url, word)

    @property
    def action(self):
        """(url, words) of what to do next here: make the first one, or complete what is there."""
        if self.is_begun and self.see_url and not self.add_word.startswith("Edit"):
            return self.see_url, f"Complete: {self.title.lower()}"
        if self.add_url:
            return self.add_url, self.add_word
        return self.see_url, f"Open: {self.title.lower()}"

    @property
    def is_done(self):
        return self.is_begun and not self.missing

    @property
    def state(self):
        if not self.is_begun:
            return "missing", "to do"
        return ("open", "incomplete") if self.missing else ("in_order", "done")


def many(count, noun):
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def lacking(count, what):
    """A list of one line, "without a model: 2", or none where nothing is lacking."""
    return [f"{what}: {count}"] if count else []


def steps_of(building, user):
    """The steps of a building's set-up in their order; a fixed number of queries.

    Client, building and job are the office's to change; an engineer gets no link to a form that refuses.
    """
    offices = [_client(building), _building(building), _job(building)]
    if user.role != Role.OFFICE:
        for step in offices:
            step.add_url = ""
    return [
        *offices,
        _panels(building),
        _zones(building),
        _circuits(building),
        _positions(building),
        _serials(building),
        _identical_units(building),
    ]


def next_step(steps):
    """The first step that is not begun; when all are begun, the first that lacks something; else None."""
    return next((step for step in steps if not step.is_begun), None) or next(
        (step for step in steps if step.missing), None
    )


def _client(building):
    client = building.client
    reachable = client.email or client.phone or client.contacts.exclude(email="", phone="").exists()
    missing = [] if reachable else ["no e-mail and no telephone"]
    url = reverse("client-update", args=[client.pk])
    return SetUpStep("Client", client.name, True, missing, url, "Change client", client.get_absolute_url())


def _building(building):
    facts = {
        "address": building.address,
        "country": building.country,
        "responsible person": building.responsible_person,
        "storeys": building.storeys,
        "fire strategy": building.fire_strategy_reference,
        "standard named by the client": building.standards_applied,
    }
    missing = [name for name, value in facts.items() if not value]
    url = reverse("building-update", args=[building.slug])
    return SetUpStep(
        "Building",
        building.name,
        True,
        [f"missing: {', '.join(missing)}"] if missing else [],
        url,
        "Change building",
        building.get_absolute_url(),
    )


def _job(building):
    counted = building.jobs.aggregate(all=Count("pk"), open=Count("pk", filter=Q(closed_on=None)))
    there = f"{many(counted['all'], 'job')}, {counted['open']} open"
    url = f"{reverse('job-create')}?building={building.slug}"
    return SetUpStep("Job", there, counted["all"] > 0, [], url, "Open a job", building.get_absolute_url())


def _panels(building):
    counted = building.panels.aggregate(
        all=Count("pk", distinct=True),
        no_model=Count("pk", filter=Q(position__product_model=None), distinct=True),
        with_battery=Count("pk", filter=Q(battery_sets__isnull=False, battery_sets__removed_on=None), distinct=True),
    )
    missing = lacking(counted["no_model"], "without a model")
    missing += lacking(counted["all"] - counted["with_battery"], "without a battery set")
    return SetUpStep(
        "Panels",
        many(counted["all"], "panel"),
        counted["all"] > 0,
        missing,
        reverse("panel-create", args=[building.slug]),
        "Add panel",
        reverse("panel-list", args=[building.slug]),
        more=[(reverse("small-system-list", args=[building.slug]), "Small system in one step")],
    )


def _zones(building):
    counted = building.smoke_zones.aggregate(
        all=Count("pk"),
        no_panel=Count("pk", filter=Q(panel=None)),
        no_area=Count("pk", filter=Q(required_area_m2=None, area_method__in=["", *GIVE_NO_AREA])),
    )
    missing = lacking(counted["no_panel"], "without a panel") + lacking(counted["no_area"], "without a required area")
    return SetUpStep(
        "Smoke zones",
        many(counted["all"], "zone"),
        counted["all"] > 0,
        missing,
        reverse("zone-create", args=[building.slug]),
        "Add zone",
        reverse("zone-list", args=[building.slug]),
    )


def _circuits(building):
    circuits = ActuatorCircuit.objects.filter(panel__building=building).annotate(
        found=Count("positions", filter=Q(positions__retired_on=None, positions__kind__in=DRIVES), distinct=True)
    )
    counted = circuits.aggregate(
        all=Count("pk"),
        unlike=Count("pk", filter=~Q(found=F("expected_actuators")) & ~Q(expected_actuators=None)),
        no_number=Count("pk", filter=Q(expected_actuators=None)),
    )
    lines = DetectionLine.objects.filter(panel__building=building).aggregate(
        all=Count("pk"), no_element=Count("pk", filter=Q(end_of_line_ohm=None) & ~Q(end_place="none_needed"))
    )
    missing = lacking(counted["unlike"], "circuits with another number of actuators than expected")
    missing += lacking(counted["no_number"], "circuits without an expected number")
    missing += lacking(lines["no_element"], "lines without an end-of-line value")
    there = f"{many(counted['all'], 'circuit')}, {many(lines['all'], 'line')}"
    step = SetUpStep("Circuits and lines", there, counted["all"] > 0 or lines["all"] > 0, missing)
    step.see_url = reverse("panel-list", args=[building.slug])
    for panel in building.panels.select_related("position").order_by("position__tag_key"):
        step.more.append((reverse("circuit-create", args=[panel.pk]), f"Add circuit to {panel.tag}"))
        step.more.append((reverse("line-create", args=[panel.pk]), f"Add line to {panel.tag}"))
    if step.more:
        step.add_url, step.add_word = step.more.pop(0)
    return step


def _positions(building):
    positions = building.positions.in_use().exclude(kind=DeviceKind.CONTROL_PANEL)
    at_an_input = InputDevice.objects.filter(position=OuterRef("pk"))
    counted = positions.aggregate(
        all=Count("pk"),
        no_zone=Count("pk", filter=Q(smoke_zone=None) & ~Q(kind__in=OF_THE_WHOLE_BUILDING)),
        no_circuit=Count("pk", filter=Q(kind__in=DRIVES, actuator_circuit=None)),
        no_line=Count("pk", filter=Q(kind__in=LINE_KINDS, detection_line=None, data_link=None) & ~Exists(at_an_input)),
    )
    missing = lacking(counted["no_zone"], "without a zone")
    missing += lacking(counted["no_circuit"], "actuators without a circuit")
    missing += lacking(counted["no_line"], "call points or detectors without a line or data link")
    step = SetUpStep(
        "Positions",
        f"{many(counted['all'], 'position')} besides the panels",
        counted["all"] > 0,
        missing,
        reverse("position-create", args=[building.slug]),
        "Add position",
        reverse("position-list", args=[building.slug]),
    )
    step.more.append((reverse("position-grid", args=[building.slug]), "Add in a table"))
    step.more.append((reverse("position-run", args=[building.slug]), "Add a run"))
    return step


def _serials(building):
    positions = building.positions.in_use().with_place_for_a_unit()
    wanted, without = positions.count(), positions.without_unit().count()
    there = f"{wanted - without} of {wanted} recorded"
    url = reverse("serial-list", args=[building.slug])
    return SetUpStep("Serials", there, wanted > without, lacking(without, "positions without a unit"), see_url=url)


def _identical_units(building):
    proven, total = progress_of(building)
    there = f"told apart {proven} of {total}" if total else "no two identical units on record"
    url = reverse("identical-unit-list", args=[building.slug])
    # Where serials are on record, nothing to tell apart is nothing to do.
    is_begun = proven > 0 or (not total and Fitting.objects.open().filter(position__building=building).exists())
    return SetUpStep("Identical units", there, is_begun, lacking(total - proven, "not told apart yet"), see_url=url)
