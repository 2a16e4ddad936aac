"""What is said of instruments on a visit: an expired calibration, and readings that none of them takes."""

from django.utils import timezone
from django.utils.formats import date_format

from inspections.due import due_state
from inspections.models import Visit
from sites_registry.models.instruments import RANGES


def calibration_on(record, day, soon_days=0):
    """(state, words) of an instrument, or of one that was used, on a day."""
    if record.calibration_due_on is None:
        return "not_known", "no calibration on record"
    if record.calibration_due_on < day:
        return "overdue", f"calibration expired on {date_format(record.calibration_due_on)}"
    state = due_state(record.calibration_due_on, day, soon_days).state
    return state, f"calibration due on {date_format(record.calibration_due_on)}"


def day_of(visit):
    """The day by which calibration and competence are judged: the last of the work, else the day that is planned."""
    if visit.state == Visit.State.PLANNED:
        return visit.planned_on
    return timezone.localtime(visit.finished_at or timezone.now()).date() if visit.started_at else visit.planned_on


def used_in_words(used, day):
    """ "multimeter MM-14, serial 4711, calibration due on 1 Mar 2027", as it is printed."""
    serial = f", serial {used.serial}" if used.serial else ""
    return f"{used.name} {used.own_number}{serial}, {calibration_on(used, day)[1]}"


def instruments_in_words(visit):
    """All instruments of a visit, a line each: those chosen, then what was typed."""
    day = day_of(visit)
    lines = [used_in_words(one, day) for one in visit.instruments_used.all()]
    return "\n".join(filter(None, [*lines, visit.instruments]))


def said_of_instruments(visit):
    """Sentences on what lacks or expired: [(state, sentence), …]; two queries."""
    day, used = day_of(visit), list(visit.instruments_used.all())
    said = [
        (state, f"{one}: {words}. The readings taken with it are to be marked by a remark, or taken again.")
        for one in used
        for state, words in [calibration_on(one, day)]
        if state in ("overdue", "not_known")
    ]
    measured = {unit for one in used for unit in one.units}
    lacking = [unit for unit in units_read(visit) if unit not in measured]
    if lacking:
        readings = f"Readings in {', '.join(lacking)}"
        chosen = "no instrument chosen takes them" if used else "no instrument chosen"
        said.append(("missing", f"{readings}: {chosen}."))
    return said


def units_read(visit):
    """Units in which the visit asks readings that need an instrument."""
    asked = set(visit.test_points.exclude(quantity="").order_by().values_list("unit", flat=True).distinct())
    return [unit for unit in RANGES if unit in asked]
