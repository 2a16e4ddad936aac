"""What the page of a certificate shows otherwise than its paper: nothing left out, what repeats said once."""

from dataclasses import dataclass
from itertools import groupby

from inspections.certificates.issue import is_intact
from inspections.certificates.readings import ReadingsByCheck, by_check
from inspections.certificates.standing import certificates_after, standing_of
from inspections.models import Certificate


def told_to_its_holder(certificate):
    """Whether a certificate (with its standing) still stands, for a page without a log-in: no building, no person."""
    after = [one for one in certificates_after(certificate) if one.state != Certificate.State.REVOKED]
    superseding = Certificate.objects.filter(supersedes=certificate).only("number", "issued_on", "state")
    return {
        "certificate": certificate,
        "is_intact": is_intact(certificate),
        "standing": standing_of(certificate),
        "after": [(one, standing_of(one)) for one in after],
        "superseded_by": superseding.first(),
    }


@dataclass(frozen=True)
class OnScreen:
    """`not_tested`: the rows of the statement, those of one position for one reason as one, with all their checks."""

    readings: ReadingsByCheck
    not_tested: list


def on_screen(statement):
    return OnScreen(readings=by_check(statement), not_tested=_not_tested(statement))


def _not_tested(statement):
    rows = statement.get("not_tested") or ()
    together = [list(part) for _, part in groupby(rows, key=_without_check)]
    return [{**part[0], "check": "; ".join(row["check"] for row in part)} for part in together]


def _without_check(row):
    return {name: value for name, value in row.items() if name != "check"}
