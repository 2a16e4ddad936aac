"""Which devices may be wired to an input."""

from zones.engineering.kind_facts import Run
from zones.models import Position
from zones.models.kinds import kinds_where

ON_NO_INPUT = kinds_where(lambda facts: Run.INPUT not in facts.hangs_on)


def devices_of_inputs(panel):
    """Devices that may be wired to an input of a panel or of its devices."""
    return Position.objects.in_use().filter(panel=panel).exclude(kind__in=ON_NO_INPUT).order_by("tag_key")
