"""The kinds of records that the find box knows: what is compared, who sees them, and the line of the answer."""

from dataclasses import dataclass

from django.db.models import Q, Value
from django.db.models.functions import Concat

from inspections.models import Certificate, Visit
from sites_registry.access import Role
from sites_registry.models import Building, Client, Contact, Job, Person
from zones.models import BatterySet, Fitting, Position, ProductModel, Unit


@dataclass(frozen=True)
class Hit:
    """One line of the answer: where it leads, what it is called, what tells it from others."""

    url: str
    name: str
    about: str
    is_code: bool = False


class Kind:
    """A kind of record. `codes` are compared whole, from the beginning and in part, `words` in part only."""

    heading = ""
    noun = ""
    roles = tuple(Role)
    codes = ()
    words = ()
    order = ()
    is_name = False  # a name has words: each of them can be the mistyped one

    def records(self, user):
        raise NotImplementedError

    def exact(self, text):
        """More that counts as the whole code, as a condition; None: nothing."""
        return None

    def here(self, building):
        """Which of these belong to this building, as a condition."""
        return Q(building=building)

    def hits(self, user, records):
        return [self.hit(record) for record in records]


class Buildings(Kind):
    heading, noun = "Buildings", "building"
    codes, words, order, is_name = ("name",), ("address", "client__name"), ("name",), True

    def records(self, user):
        return Building.objects.visible_to(user).with_client()

    def here(self, building):
        return Q(pk=building.pk)

    def hit(self, building):
        return Hit(building.get_absolute_url(), building.name, building.client.name)


class Positions(Kind):
    heading, noun = "Positions", "position"
    codes, order = ("tag",), ("building__name", "tag_key")

    def records(self, user):
        return Position.objects.visible_to(user).in_use().select_related("building")

    def exact(self, text):
        """A tag with a word of its building: "P1 Ropewalk"."""
        tag, _, building = text.partition(" ")
        return Q(tag__iexact=tag, building__name__icontains=building.strip()) if building.strip() else None

    def hit(self, position):
        about = f"{position.get_kind_display()} · {position.building.name}"
        return Hit(position.get_absolute_url(), position.tag, about, True)


class Units(Kind):
    heading, noun = "Units by serial or batch", "unit"
    codes, order = ("serial", "batch"), ("serial",)

    def records(self, user):
        return Unit.objects.visible_to(user).with_model()

    def here(self, building):
        return Q(pk__in=Fitting.objects.open().filter(position__building=building).values("unit"))

    def hits(self, user, units):
        """With the place of each, as far as this person may see it."""
        fittings = Fitting.objects.visible_to(user).open().filter(unit__in=units)
        place_of = {each.unit_id: each.position for each in fittings.select_related("position__building")}
        return [self.hit(unit, place_of.get(unit.pk)) for unit in units]

    def hit(self, unit, position):
        about = [str(unit.product_model)] + ([f"batch {unit.batch}"] if unit.batch else [])
        if position:
            about.append(f"{position.building.name}, {position.tag}")
        return Hit(unit.get_absolute_url(), unit.serial, " · ".join(about), True)


class Batteries(Kind):
    heading, noun = "Battery sets by date code or batch", "battery set"
    codes, order = ("date_code", "batch"), ("panel__building__name", "panel__position__tag_key")

    def records(self, user):
        sets = BatterySet.objects.visible_to(user).fitted()
        return sets.select_related("panel__building", "panel__position", "product_model__maker")

    def here(self, building):
        return Q(panel__building=building)

    def hit(self, battery):
        code = battery.date_code or battery.batch
        batch = f"batch {battery.batch}" if battery.date_code and battery.batch else ""
        place = f"{battery.panel.building.name}, {battery.panel.tag}"
        about = [str(battery.product_model or battery), batch, place]
        return Hit(battery.get_absolute_url(), code, " · ".join(filter(None, about)), True)


class Certificates(Kind):
    heading, noun = "Certificates", "certificate"
    codes, order = ("number",), ("-number",)

    def records(self, user):
        return Certificate.objects.visible_to(user).with_building().defer("statement")

    def hit(self, certificate):
        about = f"{certificate.building.name} · {certificate.get_state_display()}"
        return Hit(certificate.get_absolute_url(), certificate.number, about, True)


class Jobs(Kind):
    heading, noun, roles = "Jobs", "job", (Role.OFFICE, Role.ENGINEER)
    codes, words, order = ("number",), ("scope",), ("-number",)

    def records(self, user):
        return Job.objects.visible_to(user).with_building()

    def hit(self, job):
        return Hit(job.get_absolute_url(), job.number, f"{job.get_kind_display()} · {job.building.name}", True)


class Models(Kind):
    heading, noun, roles = "Product models", "product model", (Role.OFFICE, Role.ENGINEER)
    codes, order = ("name", "maker_and_name"), ("maker__name", "name")

    def records(self, user):
        """With the maker in front, as a model is written everywhere."""
        models = ProductModel.objects.visible_to(user).with_maker()
        return models.annotate(maker_and_name=Concat("maker__name", Value(" "), "name"))

    def here(self, building):
        return Q(pk__in=Position.objects.filter(building=building).exclude(product_model=None).values("product_model"))

    def hit(self, model):
        return Hit(model.get_absolute_url(), str(model), model.get_kind_display())


class Clients(Kind):
    heading, noun, roles = "Clients", "client", (Role.OFFICE, Role.ENGINEER)
    codes, order, is_name = ("name",), ("name",), True

    def records(self, user):
        return Client.objects.visible_to(user)

    def here(self, building):
        return Q(pk=building.client_id)

    def hit(self, client):
        return Hit(client.get_absolute_url(), client.name, client.address.split("\n")[0])


class People(Kind):
    heading, noun, roles = "People", "person", (Role.OFFICE,)
    codes, words, order, is_name = ("full_name",), ("email",), ("full_name",), True

    def records(self, user):
        return Person.objects.visible_to(user)

    def here(self, building):
        return Q(pk__in=building.managers.values("pk"))

    def hit(self, person):
        state = "" if person.is_active else " · cannot log in"
        return Hit(person.get_absolute_url(), person.full_name, f"{person.get_role_display()}{state}")


class Contacts(Kind):
    heading, noun, roles = "People at clients", "person at a client", (Role.OFFICE,)
    codes, words, order, is_name = ("name",), ("email", "phone"), ("name",), True

    def records(self, user):
        return Contact.objects.visible_to(user).select_related("client")

    def here(self, building):
        return Q(client=building.client_id)

    def hit(self, contact):
        about = " · ".join(filter(None, [contact.function, contact.client.name]))
        return Hit(contact.get_absolute_url(), contact.name, about)


KINDS = (
    Buildings(),
    Positions(),
    Units(),
    Batteries(),
    Certificates(),
    Jobs(),
    Models(),
    Clients(),
    People(),
    Contacts(),
)


def visits_of_number(user, text):
    """Visits have a number and no other name: found whole, with or without the word."""
    number = text.casefold().removeprefix("visit").strip()
    if not (number.isdecimal() and len(number) <= 15):
        return []
    visits = Visit.objects.visible_to(user).with_building().filter(pk=int(number))
    return [
        Hit(visit.get_absolute_url(), str(visit), f"{visit.get_kind_display()} · {visit.building.name}")
        for visit in visits
    ]
