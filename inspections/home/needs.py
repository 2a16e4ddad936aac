"""What needs the office now, as four answers: inspections, defects, certificates, visits."""

from dataclasses import dataclass

from django.urls import reverse

from inspections.models import Severity
from inspections.overview.answers import Answer, plural


@dataclass(frozen=True)
class Need:
    """An answer under its heading, with ways in: (word, address)."""

    heading: str
    answer: Answer
    ways: tuple


def needs_of_office(*, due, defects, to_certify, late_visits, open_jobs, proposed_models):
    """The four, in the order in which they press.

    Args:     due: numbers of buildings by state of `Due`; defects: [(severity, label, number)] of those open.
    """
    return [
        Need("Inspections", _inspections(due), (("All, the worst first", reverse("due-list")),)),
        Need("Open defects", _defects(defects), _ways_to_defects(defects)),
        Need("Certificates", _certificates(to_certify), (("To certify", "#certify"),) if to_certify else ()),
        Need("Visits and jobs", _visits(late_visits, open_jobs), _ways_of_work(proposed_models)),
    ]


def _inspections(due):
    overdue, soon, never = due.get("overdue", 0), due.get("due_soon", 0), due.get("never", 0)
    state = "overdue" if overdue else "due_soon" if soon else "never" if never else "in_date"
    words = f"{overdue} overdue" if overdue else f"{soon} due soon" if soon else "none overdue"
    others = [f"{soon} due soon"] if overdue and soon else []
    others += [f"{never} with no inspection on record"] if never else []
    return Answer(state, words, f"{', '.join(others)}." if others else "")


def _defects(defects):
    there = [(severity, label, number) for severity, label, number in defects if number]
    if not there:
        return Answer("closed", "none", "")
    (severity, label, number), *others = there
    said = ", ".join(f"{number} {label}" for _, label, number in others)
    return Answer(Severity(severity).value, f"{number} {label}", f"{said}." if said else "")


def _ways_to_defects(defects):
    there = [(label, f"{reverse('defect-list')}?severity={severity}") for severity, label, number in defects if number]
    return (("All open defects", reverse("defect-list")), *there)


def _certificates(to_certify):
    if not to_certify:
        return Answer("closed", "none to issue", "Every finished visit has its certificate.")
    return Answer("open", f"{to_certify} to issue", "Visits that are finished and have no certificate.")


def _visits(late, open_jobs):
    line = f"{plural(open_jobs, 'job')} open." if open_jobs else "No job is open."
    return Answer("missed" if late else "in_date", f"{plural(late, 'visit')} overdue" if late else "none overdue", line)


def _ways_of_work(proposed_models):
    ways = [("Visits", reverse("visit-list")), ("Jobs", reverse("job-list"))]
    if proposed_models:
        word = f"{plural(proposed_models, 'proposed model')} to confirm"
        ways.append((word, f"{reverse('product-model-list')}?standing=proposed"))
    return tuple(ways)
