"""Which competence a visit needs, and what of it its engineer lacks: said, never a bar. The office decides.

Handbook process.md §4: evidence is stored with its expiry, and a lapse on the day is a warning. Which work asks which
training is common practice here; contracts and local codes may ask more.
"""

from django.utils.formats import date_format

from inspections.instruments.calibration import day_of, said_of_instruments
from inspections.models import Visit, VisitKind
from sites_registry.models import Qualification
from sites_registry.read_once import read_once
from zones.engineering.hazards import Hazard

Subject = Qualification.Subject
OF_KIND = {
    VisitKind.COMMISSIONING: Subject.COMMISSIONING,
    VisitKind.INSPECTION: Subject.SERVICE,
    VisitKind.REMEDIAL: Subject.SERVICE,
}
OF_HAZARD = {Hazard.LIVE: Subject.LIVE, Hazard.HEIGHT: Subject.HEIGHT}


def needed_for(visit):
    """What the visit needs: by its kind, and by what can hurt at its test points; one query."""
    hazards = {
        word
        for text in visit.test_points.order_by().values_list("hazards", flat=True).distinct()
        for word in text.split(",")
    }
    return [OF_KIND[VisitKind(visit.kind)], *(subject for hazard, subject in OF_HAZARD.items() if hazard in hazards)]


def standing_of(qualification, day):
    """(state, words) of a qualification on a day."""
    until = qualification.valid_until
    if until is None:
        return "in_date", "does not lapse"
    if until < day:
        return "overdue", f"lapsed on {date_format(until)}"
    return "in_date", f"valid until {date_format(until)}"


def said_of_competence(visit):
    """[(state, sentence), …] on what the engineer of a visit lacks on its day; empty without one; two queries."""
    if visit.engineer is None:
        return []
    day, held = day_of(visit), {}
    for one in visit.engineer.qualifications.filter(obtained_on__lte=day):
        held.setdefault(one.subject, []).append(one)
    said = []
    for subject in needed_for(visit):
        of_subject = held.get(subject, [])
        if not of_subject:
            said.append(("not_known", f"{visit.engineer}: nothing on record for {subject.label}."))
        elif all(one.valid_until and one.valid_until < day for one in of_subject):
            last = max(of_subject, key=lambda one: one.valid_until)
            said.append(("overdue", f"{visit.engineer}, {subject.label}: {standing_of(last, day)[1]}."))
    return said


@read_once
def said_of(visit):
    """What lacks or expired of instruments and competence, of a visit that is still to be made; empty for others."""
    if visit.state not in (Visit.State.PLANNED, Visit.State.UNDER_WAY):
        return []
    return [*said_of_instruments(visit), *said_of_competence(visit)]
