"""How much of what the protocol asks a visit asks: all of it, or what falls due before the next visit."""

from inspections.models import Protocol, Visit
from inspections.test_points.due_points import due_pairs
from inspections.test_points.making import pairs_asked
from sites_registry.words import counted
from zones.models import Position


def asked_in_words(visit):
    """ "34 of 120 checks: what falls due before 28 Feb 2027 …" of a visit that was started; empty where it asks all."""
    if visit.extent == Visit.Extent.EVERYTHING or visit.protocol_id is None:
        return ""
    asked = visit.test_points.values_list("position", "code")
    left = pairs_asked(visit.building, visit.protocol, _positions(visit.building), set(asked))
    number = len(asked)
    of_all = f"{number} of {counted(number + len(left), 'checks')}"
    return f"{of_all}: {visit.asks_words}. The others were not asked on this visit."


def would_ask_in_words(visit, day):
    """What a planned visit of what is due would ask if it were started today; empty where it asks all.

    Args:     day: by which the building is inspected again.
    """
    protocol = Protocol.objects.in_force().filter(kind=visit.kind).first()
    if visit.extent == Visit.Extent.EVERYTHING or protocol is None:
        return ""
    pairs = pairs_asked(visit.building, protocol, _positions(visit.building))
    number = len(due_pairs(visit.building, pairs, day))
    return (
        f"{number} of {counted(len(pairs), 'checks')} if it were started today: what falls due before {day:%-d %b %Y}."
    )


def _positions(building):
    return Position.objects.in_use().filter(building=building)
