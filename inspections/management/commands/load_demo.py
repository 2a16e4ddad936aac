"""Load the invented demo: a firm, its clients, 15 buildings and three years of visits."""

import itertools
from argparse import ArgumentTypeError
from contextlib import contextmanager
from datetime import date, timedelta
from pathlib import Path

from dateutil.relativedelta import relativedelta
from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils import timezone
from django.utils.text import slugify

from inspections.demo import scenario
from inspections.demo.approvals import check_and_approve
from inspections.demo.dates import DemoDates
from inspections.demo.firm_records import record_instruments, record_trainings
from inspections.demo.floor_plans import draw_floor_plans
from inspections.demo.later_changes import change_since_the_revision
from inspections.demo.logic import give_rules
from inspections.demo.papers import attach_papers_of_building, attach_papers_of_models
from inspections.demo.photographs import photograph
from inspections.demo.systems import SystemBuilder, make_models
from inspections.demo.years import YearsOfVisits
from inspections.ledger.entering import enter_what_lacks
from inspections.models import LogEntry, Result
from inspections.overview.answers import plural
from inspections.protocols.edits import install_standard_protocols
from sites_registry.models import Building, Client, Contact, Firm, Job, Person, Variation
from sites_registry.services.jobs import open_job
from zones.models import Position

SEED = "skellmere"
EARLIEST = date(2010, 1, 1)


def a_day(text):
    """A day that is not ahead and not so long ago that a year of two digits is read wrongly. For the parser."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ArgumentTypeError(f"'{text}' is not a day. Write it as {timezone.localdate()}.") from None
    if not EARLIEST <= day <= timezone.localdate():
        raise ArgumentTypeError(f"{day} is not between {EARLIEST} and today, {timezone.localdate()}.")
    return day


@contextmanager
def no_files_left_behind():
    """Take files made inside away again where it fails: the database forgets by itself, the disk does not."""
    folder = Path(settings.MEDIA_ROOT)
    before = set(folder.rglob("*"))
    try:
        yield
    except BaseException:
        for path in sorted(set(folder.rglob("*")) - before, reverse=True):
            path.rmdir() if path.is_dir() else path.unlink()
        raise


class Command(BaseCommand):
    help = "Load the invented demo data. With --if-empty, only into a register without buildings."

    def add_arguments(self, parser):
        parser.add_argument("--if-empty", action="store_true", help="do nothing when there are buildings already")
        parser.add_argument("--log-ins", action="store_true", help="only print one log-in per role")
        parser.add_argument("--today", type=a_day, help="the day from which dates are counted back (ISO)")

    def handle(self, *args, if_empty, log_ins, today, **options):
        if log_ins:
            return self.print_log_ins()
        if Building.objects.exists():
            if if_empty:
                self.stdout.write("The register has buildings already; the demo is left as it is.")
                return None
            raise CommandError("The register has buildings already. The demo loads into an empty register only.")
        try:
            with no_files_left_behind(), transaction.atomic():
                self.load(DemoDates.of(today))
        except KeyboardInterrupt:
            raise CommandError(
                "Interrupted: nothing of the demo was loaded. The same command starts afresh.", returncode=130
            ) from None
        self.stdout.write(
            f"Loaded {plural(Building.objects.count(), 'building')}, {Position.objects.count()} positions, "
            f"{Result.objects.count()} results."
        )
        return None

    def print_log_ins(self):
        self.stdout.write("Log in with one of these, password: " + scenario.PASSWORD)
        for name, full_name, role, _competence in scenario.PEOPLE:
            if not name[-1].isdigit() and name != "planner":
                self.stdout.write(f"  {name}@skellmere.example  ({full_name}, {role})")

    def load(self, dates):
        today = dates.today
        install_standard_protocols()
        Firm.objects.update_or_create(pk=1, defaults=scenario.FIRM)
        people = self.make_people(today)
        record_instruments(people["office"], today)
        record_trainings(people, today)
        clients = self.make_clients()
        models, serials = make_models(), itertools.count(100_401)
        attach_papers_of_models(models, people["office"])
        for number, site in enumerate(scenario.SITES, start=1):
            self.stdout.write(f"[{number:2}/{len(scenario.SITES)}] {site.name} …")
            self.stdout.flush()
            building = self.make_building(site, clients, people, today)
            fitted_on = today - relativedelta(months=max(site.commissioned_months_ago, 1), days=10)
            SystemBuilder(building, site, models, fitted_on, people[site.engineer], serials, today).build()
            give_rules(building)
            attach_papers_of_building(building, people["office"])
            YearsOfVisits(building, site, people, dates, SEED).run()
            photograph(building, SEED)
            draw_floor_plans(building, people[site.engineer], today)
            check_and_approve(building, number, people, people[site.engineer])
            change_since_the_revision(building, today)
            self.write_log_book(building, site, people, dates)
        enter_what_lacks()

    def make_people(self, today):
        people = {}
        for name, full_name, role, competence in scenario.PEOPLE:
            people[name] = Person.objects.create_user(
                f"{name}@skellmere.example",
                scenario.PASSWORD,
                full_name=full_name,
                role=role,
                competence=competence,
                competence_expires_on=today + relativedelta(months=7) if role == "engineer" else None,
            )
        return people

    def make_clients(self):
        clients = {}
        for name, (address, contact, function) in scenario.CLIENTS.items():
            clients[name] = Client.objects.create(name=name, address=address, call_out_hours=24)
            Contact.objects.create(
                client=clients[name], name=contact, function=function, email=f"{slugify(contact)}@skellmere.example"
            )
        return clients

    def make_building(self, site, clients, people, today):
        building = Building(
            client=clients[site.client],
            name=site.name,
            slug=slugify(site.name),
            use=site.use,
            storeys=site.storeys,
            height_m=site.height_m,
            country=site.country,
            access_notes=site.access,
            address=f"{7 * len(site.name)} {site.name.split()[-1]} Road\nSkellmere",
            responsible_person=scenario.CLIENTS[site.client][1],
            inspection_interval_months=site.interval_months,
            responsible_person_contact="through the client's office",
            roof_access_notes="Harness; permit from the client.",
            fire_strategy_reference=f"FS-{site.name.split()[0][:6].upper()}-2",
            standards_applied="BS 7346-8:2013",
            alarm_receiving_centre="Skell Valley Watch, 0000 555 099",
        )
        building.full_clean()
        building.save()
        building.managers.set([people[name] for name in site.managers])
        opened_on = today - relativedelta(months=site.commissioned_months_ago + 2)
        kind = Job.Kind.TAKE_OVER if "take_over" in site.story else Job.Kind.NEW
        job = open_job(
            building=building,
            kind=kind,
            scope="Natural smoke control of the whole building.",
            opened_on=opened_on,
            standard="BS 7346-8:2013",
            lead=people[site.engineer],
            label_language="English",
        )
        if "impaired" in site.story or "superseded_again" in site.story:
            Variation.objects.create(
                building=building,
                job=job,
                what="No smoke detector in the lift motor room.",
                why="Room out of use.",
                agreed_by="fire officer and client",
                agreed_on=opened_on + timedelta(days=20),
            )
        return building

    def write_log_book(self, building, site, people, dates):
        """Weekly checks of the last three months, and what the story of the building adds."""
        writer = people[site.managers[0]] if site.managers else people["planner"]
        entry = {"building": building, "seen_by": writer.full_name, "entered_by": writer}
        zones = list(building.smoke_zones.order_by("number"))
        for week in range(12, 0, -1):
            happened_at = dates.moment(dates.today - timedelta(weeks=week), 9)
            LogEntry.objects.create(
                **entry,
                kind="weekly_check",
                happened_at=happened_at,
                check_result="in_order",
                smoke_zone=zones[week % len(zones)],
                what="Call point operated, vents opened and closed.",
            )
        if "false_alarms" in site.story:
            for week in (40, 22, 9, 3):
                LogEntry.objects.create(
                    **entry,
                    kind="false_alarm",
                    happened_at=dates.moment(dates.today - timedelta(weeks=week), 14),
                    what="Vents of the reading room opened.",
                    cause="dust from works",
                    action="Reset, closed.",
                )
        if "overdue" in site.story:
            off_on, on_again_on = dates.today - timedelta(days=12), dates.today - timedelta(days=5)
            LogEntry.objects.create(
                **entry,
                kind="disablement",
                happened_at=dates.moment(off_on, 8),
                what="Zone 1 off while the roof is repaired.",
                planned_end_at=dates.moment(on_again_on, 17),
                interim_measure="Patrol every two hours.",
                told_to="fire service control room",
                smoke_zone=zones[0],
            )
