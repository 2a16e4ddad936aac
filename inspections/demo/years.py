"""Three years of visits for the demo: plausible readings that drift, failures, defects, certificates.

Everything goes through the services of visits, results, defects and certificates; the same moment gives the same data.
"""

import random
import uuid
from datetime import timedelta

from dateutil.relativedelta import relativedelta

from inspections.certificates.issue import issue_certificate, revoke_certificate
from inspections.demo.comparisons import (
    compare_settings,
    correct_the_record,
    record_all_as_left,
    tell_identical_units_apart,
)
from inspections.demo.dates import STARTS_AT
from inspections.demo.papers import accept_what_stands
from inspections.demo.sign_offs import sign_off
from inspections.demo.systems import save
from inspections.instruments.choosing import choose_instruments
from inspections.jobs.closing import close_job_with_revision
from inspections.models import Certificate, Defect, Visit, VisitKind
from inspections.standing_matters.matters import read_record
from inspections.visits.edits import finish_visit, plan_visit, start_visit
from inspections.visits.results import Fate, take_answers
from sites_registry.models import HandedOverDocument, Instrument
from zones.models import BatterySet

# Reading by the code of the check: value when new, change a year, spread. Plausible, invented.
READINGS = {
    "charger-voltage": (27.32, 0.02, 0.06),
    "supply-voltage": (24.6, -0.05, 0.1),
    "mains-change-over": (23.9, -0.15, 0.1),
    "quiescent-current": (0.15, 0.002, 0.004),
    "battery-rest-voltage": (25.9, -0.12, 0.08),
    "battery-load-voltage": (24.9, -0.35, 0.1),
    "battery-capacity": (101, -5.5, 1.2),
    "battery-failure": (27.4, 0, 0.05),
    "battery-age": (0, 1, 0),
    "opening-time": (50.5, 0.7, 1.1),
    "opening-time-on-battery": (52.5, 0.8, 1.1),
    "running-current": (0.66, 0.01, 0.02),
    "voltage-at-last-actuator": (22.4, -0.08, 0.15),
    "run-time": (75, 0, 0.2),
    "end-of-line-resistance": (10.02, 0.01, 0.04),
    "cable-insulation": (120, 0, 25),
    "head-removed": (34, 0, 6),
    "condition": (0, 1, 0),
    "log-book": (1, 0, 0),
    "step-mains-terminals": (0, 0, 0),
    "step-battery-leads": (0, 0, 0),
    "step-supply-voltage": (24.6, 0, 0.1),
    "step-battery-voltage": (26.1, 0, 0.08),
    "step-charger-voltage": (27.4, 0, 0.05),
}

# The actuator that grows slower faster than the others, in a building of the story "slowing": tag, s a year more.
SLOWING = ("M1", 2.0)

READINGS_OF_THE_SMALL_JOB = {"quiescent-current": (0.076, 0.001, 0.001), "run-time": (68, 0, 0.1)}

# What goes wrong, by the story of a building: check, severity, text, what is done meanwhile, who was told.
DEFECTS = {
    "impaired": (
        "opening-time",
        "impaired",
        "Vent stops half open; the chain jams at about 300 mm.",
        "Fire watch in the stair day and night until the vent is repaired; residents told by notice.",
        "responsible person, by telephone and in writing the same day",
    ),
    "open_degraded": (
        "opening-time",
        "degraded",
        "Opens, but the bracket is loose and the leaf rubs on the frame.",
        "",
        "",
    ),
    "open_minor": ("vent-condition", "minor", "Seal torn at the lower edge.", "", ""),
    "closed_defect": (
        "function",
        "degraded",
        "Does not answer at the first try.",
        "",
        "building manager, on site",
    ),
}


HANDED_OVER = (
    ("certificate", "Commissioning certificate"),
    ("schedules", "Device, zone and terminal schedules"),
    ("instructions", "Operating and maintenance instructions"),
    ("log_book", "Log book, first volume"),
)
# Months ago of the visits of a building that is visited every quarter and asked what is due.
QUARTERS = (5, 2)
MOST_MINUTES = 450  # of one visit: its last answers share the end of the working day


class YearsOfVisits:
    """Runs the visits of one building, in the order of their dates."""

    def __init__(self, building, site, people, dates, seed):
        self.building, self.site, self.people = building, site, people
        self.dates, self.today, self.moment = dates, dates.today, dates.moment
        self.random = random.Random(f"{seed} {building.slug}")  # noqa: S311 - invented readings, no secret
        self.engineer = people[site.engineer]
        self.seed = seed
        self.missed = set()  # positions that no quarterly visit reached
        self.record = None  # what stands of the record: no visit of the demo changes it

    def run(self):
        self.record = read_record(self.building)
        commissioned = self.day(self.site.commissioned_months_ago)
        if "take_over" in self.site.story:
            return self.take_over()
        self.visit(VisitKind.COMMISSIONING, commissioned, commissioned)
        for index, months in enumerate(self.site.inspections_months_ago):
            last = index == len(self.site.inspections_months_ago) - 1
            self.visit(VisitKind.INSPECTION, self.day(months), commissioned, is_last=last)
        if "quarterly" in self.site.story:
            for months in (one for one in QUARTERS if one < self.site.inspections_months_ago[-1]):
                self.visit(VisitKind.INSPECTION, self.day(months), commissioned, extent=Visit.Extent.DUE)
        self.tell_the_story()

    def day(self, months_ago):
        """That many months ago, never at a weekend."""
        day = self.today - relativedelta(months=months_ago, days=self.random.randrange(8))
        return day - timedelta(days=max(0, day.weekday() - 4))

    def visit(self, kind, day, commissioned, *, is_last=False, extent=Visit.Extent.EVERYTHING):
        planned = plan_visit(
            building=self.building,
            kind=kind,
            extent=extent,
            planned_on=day,
            engineer=self.engineer,
            instruments="Multimeter MM-14, calibrated to 2027-03; load tester LT-2, calibrated to 2027-01.",
            witness=self.building.responsible_person if kind == VisitKind.COMMISSIONING else "",
        )
        visit = start_visit(visit=planned, started_by=self.engineer, started_at=self.moment(day))
        points = self.points_of(visit)
        self.answer(visit, points, day, STARTS_AT, (day - commissioned).days / 365, is_last)
        if is_last and kind == VisitKind.INSPECTION:
            compare_settings(visit, self.site.story, self.engineer, self.moment(day, 15))
        if "small_job" in self.site.story:
            record_all_as_left(visit, self.engineer, self.moment(day, 15))
        visit = finish_visit(visit=visit, finished_by=self.engineer, finished_at=self.moment(day, 16))
        if is_last:
            sign_off(visit, self.engineer)
        if is_last and "swap" in self.site.story:
            correct_the_record(visit, self.people["office"])
        if kind == VisitKind.INSPECTION and self.to_put_right(visit):
            self.put_right(visit, day)
        self.certify(visit, day)
        self.close_job_of(visit, day)
        return visit

    def close_job_of(self, visit, day):
        """The papers are handed over and receipted with a new installation; then the job is closed."""
        job, closed_on = visit.job, min(day + timedelta(days=10), self.today)
        if visit.kind == VisitKind.COMMISSIONING:
            for kind, title in HANDED_OVER:
                save(
                    HandedOverDocument(
                        job=job,
                        kind=kind,
                        title=title,
                        language="English",
                        handed_over_on=closed_on,
                        handed_over_to=self.building.responsible_person,
                    )
                )
            job.receipt_signed_by, job.receipt_signed_on = self.building.responsible_person, closed_on
            save(job)
        accept_what_stands(job, None, self.record, self.people["office"], self.moment(closed_on, 11))
        close_job_with_revision(
            job=job,
            closed_on=closed_on,
            closed_by=self.people["office"],
            taken_at=self.moment(closed_on, 11),
            record=self.record,
        )

    def certify(self, visit, day, again=False):
        at = self.moment(min(day + timedelta(days=2), self.today), 9)
        accept_what_stands(visit.job, visit, self.record, self.people["office"], at)
        return issue_certificate(
            visit=visit,
            issued_by=self.people["office"],
            issued_on=min(day + timedelta(days=2), self.today),
            issued_at=self.moment(min(day + timedelta(days=2), self.today), 10),
            capacity="authorised person of the firm",
            scope=f"{visit.get_kind_display().capitalize()} of the natural smoke control of {self.building.name}.",
            exclusions="Fire alarm system, fire doors and the building's mains supply.",
            again=again,
            record=self.record,
        )

    def points_of(self, visit):
        return list(visit.test_points.select_related("position").in_walking_order())

    def answer(self, visit, points, day, hour, years, is_last):
        """One answer a minute from that hour of the day, for as long as a working day has minutes."""
        failing = self.failing_points(points, is_last)
        left_out = self.left_out(points, is_last)
        answers = [
            self.answer_to(
                point,
                self.moment(day, hour, min(number, MOST_MINUTES)),
                years,
                failing.get(point.pk),
                point.position_id in left_out,
            )
            for number, point in enumerate(points)
        ]
        for start in range(0, len(answers), 200):
            self.send(visit, answers[start : start + 200])

    def send(self, visit, answers):
        verdicts = take_answers(visit=visit, person=self.engineer, answers=answers)
        refused = [verdict for verdict in verdicts if verdict.fate == Fate.REFUSED]
        if refused:
            raise RuntimeError(f"{self.building}: the demo's own answer was refused: {refused[0].message}")

    def failing_points(self, points, is_last):
        """Which points fail on this visit: defects closed since on the first inspection, open ones on the last."""
        failing = {}
        for key, (code, *_rest) in DEFECTS.items():
            now = is_last != (key == "closed_defect")
            if key in self.site.story and now and points[0].visit.kind == VisitKind.INSPECTION:
                candidates = [
                    point for point in points if point.code == code and point.position.kind != "control_panel"
                ]
                if candidates and not (key == "closed_defect" and self.building.defects.exists()):
                    failing[self.random.choice(candidates).pk] = key
        return failing

    def left_out(self, points, is_last):
        detectors = [point.position_id for point in points if point.position.kind == "smoke_detector"]
        if points[0].visit.extent == Visit.Extent.DUE:
            # The same ones each quarter: what was missed is asked again.
            self.missed = self.missed or set(detectors[:1])
            return self.missed
        return set(detectors[5:8]) if is_last and "not_accessible" in self.site.story else set()

    def answer_to(self, point, seen_at, years, failure, is_left_out):
        answer = {
            "client_uuid": str(uuid.UUID(int=self.random.getrandbits(128), version=4)),
            "test_point": point.pk,
            "outcome": "pass",
            "seen_at": seen_at.isoformat(),
        }
        if is_left_out:
            return answer | {"outcome": "not_accessible", "reason": "Flat locked, nobody at home; card left."}
        if point.quantity:
            answer["reading"] = str(self.reading_of(point, years, seen_at.date()))
            answer["figures"] = {one.name: f"{one.at_least:g}" for one in point.rule.of_reading()}
        if failure:
            _code, severity, text, meanwhile, told = DEFECTS[failure]
            defect = {"severity": severity, "description": text, "interim_measure": meanwhile, "told_to": told}
            answer |= {"outcome": "fail", "remark": text, "defect": defect}
            if point.code == "opening-time":
                answer["reading"] = "71.4" if severity == "impaired" else "58.9"
        elif "reading" in answer and point.is_within_limits(float(answer["reading"])) is False:
            answer |= {"outcome": "remark", "remark": "Outside the limit; renewal advised at the next visit."}
        elif self.random.random() < 0.01:
            answer |= {"outcome": "remark", "remark": "Cleaned."}
        return answer

    def reading_of(self, point, years, day):
        if point.code == "battery-age" and (fitted_on := self.battery_fitted_on(point, day)):
            return round((day - fitted_on).days / 365.25, 1)
        if point.code == "actuators-found":
            return point.lower_limit
        known = READINGS | (READINGS_OF_THE_SMALL_JOB if "small_job" in self.site.story else {})
        start, yearly, spread = known.get(point.code, (1, 0, 0))
        device = random.Random(f"{self.seed} {self.building.slug} {point.position.tag} {point.code}")  # noqa: S311
        value = start + yearly * years + device.gauss(0, spread) + self.random.gauss(0, spread / 3)
        if "slowing" in self.site.story and (point.position.tag, point.code) == (SLOWING[0], "opening-time"):
            value += SLOWING[1] * years
        return round(value, 3 if start < 0.1 else 2 if start < 30 else 1)

    def battery_fitted_on(self, point, day):
        sets = BatterySet.objects.fitted().filter(panel__position=point.position_id, fitted_on__lte=day)
        return sets.values_list("fitted_on", flat=True).first()

    def to_put_right(self, visit):
        return "closed_defect" in self.site.story and Defect.objects.filter(found_on=visit).open().exists()

    def put_right(self, inspection, day):
        """Remedial work some weeks later: the point is tested again and its passing result closes the defect."""
        day = day + timedelta(days=21)
        if day >= self.today:
            return
        self.certify(inspection, day - timedelta(days=20))
        visit = plan_visit(building=self.building, kind=VisitKind.REMEDIAL, planned_on=day, engineer=self.engineer)
        visit = start_visit(visit=visit, started_by=self.engineer, started_at=self.moment(day, 9))
        open_defects = {defect.position_id: defect for defect in Defect.objects.filter(building=self.building).open()}
        answers = []
        for number, point in enumerate(visit.test_points.select_related("position")):
            answer = self.answer_to(point, self.moment(day, 9, number), 1, None, False)
            if defect := open_defects.pop(point.position_id, None):
                answer |= {"outcome": "pass", "closes": [defect.pk], "closing_note": "Contact cleaned, tested again."}
            answers.append(answer)
        self.send(visit, answers)
        finish_visit(visit=visit, finished_by=self.engineer, finished_at=self.moment(day, 12))

    def tell_the_story(self):
        story = self.site.story
        if "swap" in story:
            tell_identical_units_apart(self.building, self.engineer, share=0.6)
        if "revoked" in story:
            certificate = Certificate.objects.in_force().filter(building=self.building, kind="inspection").get()
            revoke_certificate(
                certificate=certificate,
                revoked_by=self.people["office"],
                reason="Zone 4 was tested with the wrong device list. To be inspected again.",
            )
        if "superseded_again" in story:
            certificate = Certificate.objects.in_force().filter(building=self.building, kind="inspection").get()
            self.certify(certificate.visit, certificate.issued_on + timedelta(days=9), again=True)
        if "under_way" in story:
            self.be_under_way()
        if "quarterly" in story:
            day = self.today + timedelta(days=5)
            visit = plan_visit(
                building=self.building,
                kind=VisitKind.INSPECTION,
                planned_on=day,
                engineer=self.engineer,
                extent=Visit.Extent.DUE,
            )
            self.choose("MM-14", visit)
        if "due_soon" in story:
            day = self.today + timedelta(days=9)
            plan_visit(building=self.building, kind=VisitKind.INSPECTION, planned_on=day, engineer=self.engineer)
        if "impaired" in story:
            day = self.today - timedelta(days=6)
            plan_visit(building=self.building, kind=VisitKind.REMEDIAL, planned_on=day, engineer=self.engineer)

    def be_under_way(self):
        """Two fifths of an inspection are done, then the settings were compared."""
        day, hour = self.dates.work_under_way()
        visit = plan_visit(building=self.building, kind=VisitKind.INSPECTION, planned_on=day, engineer=self.engineer)
        visit = start_visit(visit=visit, started_by=self.engineer, started_at=self.moment(day, hour))
        self.choose("LT-2", visit)
        points = self.points_of(visit)
        self.answer(visit, points[: min(len(points) * 2 // 5, 80)], day, hour, 3, False)
        compare_settings(visit, ("open_degraded",), self.engineer, self.moment(day, hour, 90))

    def choose(self, own_number, visit):
        """The visit is made with that instrument."""
        instruments = Instrument.objects.filter(own_number=own_number)
        choose_instruments(visit=visit, instruments=instruments, chosen_by=self.engineer)

    def take_over(self):
        """Taken over from another firm: nothing commissioned by us, first inspection planned."""
        day = self.today + timedelta(days=14)
        plan_visit(building=self.building, kind=VisitKind.INSPECTION, planned_on=day, engineer=self.engineer)
