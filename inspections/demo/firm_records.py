"""Instruments of the firm and what its people are trained for; all invented, one of each lapsed."""

from datetime import timedelta

from dateutil.relativedelta import relativedelta

from inspections.demo.systems import save
from sites_registry.models import Instrument, Qualification
from zones.files.attachments import attach_file

# Name, own number, ranges, months until its calibration is due (negative: expired).
INSTRUMENTS = (
    ("multimeter", "MM-14", {"voltage_to_v": 600, "current_to_a": 10, "resistance_to_kohm": 40_000}, 5),
    ("battery load tester", "LT-2", {"voltage_to_v": 60, "current_to_a": 20}, -1),
    ("insulation tester", "IT-3", {"insulation_to_mohm": 2_000, "voltage_to_v": 600}, 9),
)
# Engineer, trained for, what it is called, months until it lapses (None: it does not).
TRAININGS = (
    ("engineer", "service", "Inspection and service of natural smoke control, five days (invented)", 7),
    ("engineer", "live", "Work near live parts, appointed by the firm (invented)", None),
    ("engineer", "height", "Work on roofs, two days (invented)", -1),
    ("engineer2", "commissioning", "Commissioning of natural smoke control, four days (invented)", 7),
    ("engineer2", "service", "Inspection and service of natural smoke control, five days (invented)", 19),
)


def record_instruments(office, today):
    """The instruments, each with its calibration certificate as a file."""
    for name, number, ranges, months in INSTRUMENTS:
        due_on = today + relativedelta(months=months)
        instrument = Instrument(
            name=name,
            own_number=number,
            serial=f"7{len(name)}{number[-1]}40",
            calibrated_on=due_on - relativedelta(years=1),
            calibration_due_on=due_on,
            **ranges,
        )
        save(instrument)
        _keep_evidence(office, "instrument", instrument, f"Calibration of {number}")


def record_trainings(people, today):
    """What the engineers are trained for, with the evidence."""
    for engineer, subject, title, months in TRAININGS:
        until = None if months is None else today + relativedelta(months=months)
        since = (until or today) - relativedelta(years=2) - timedelta(days=3)
        held = Qualification(
            person=people[engineer], subject=subject, title=title, obtained_on=since, valid_until=until
        )
        save(held)
        _keep_evidence(people["office"], "qualification", held, f"Evidence of training, {people[engineer].full_name}")


def _keep_evidence(office, owner_field, owner, title):
    content = f"{title}\n{owner}\nInvented for the demo.\n".encode()
    attach_file(
        owner_field=owner_field,
        owner=owner,
        name=f"{title}.txt",
        content=content,
        kind="evidence",
        by=office,
        title=title,
        language="en",
    )
