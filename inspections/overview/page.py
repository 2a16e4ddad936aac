"""What the pages of a building show beside its four answers: certificates, visits ahead."""

from django.utils import timezone

from inspections.certificates.standing import standing_of, with_standing
from inspections.models import Certificate, Visit


def certificates_in_force(building):
    """(certificate, its standing) of those neither superseded nor revoked, by kind."""
    found = with_standing(Certificate.objects.filter(building=building).in_force().defer("statement"))
    return [(one, standing_of(one)) for one in found.order_by("kind")]


def visits_ahead(visits):
    """`next_visit`: under way, or planned for today or later; `missed`: planned for an earlier day, not recorded.

    Args:     visits: of one building, the earliest first.
    """
    today = timezone.localdate()
    under_way = [visit for visit in visits if visit.state == Visit.State.UNDER_WAY]
    planned = [visit for visit in visits if visit.state == Visit.State.PLANNED]
    ahead = under_way + [visit for visit in planned if visit.planned_on >= today]
    return {
        "next_visit": ahead[0] if ahead else None,
        "missed": [visit for visit in planned if visit.planned_on < today],
    }
