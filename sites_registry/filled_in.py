"""When a form was filled in: now, or earlier, where a phone kept it without a network and sends it later."""

import re
from datetime import timedelta

from django.utils import timezone

from sites_registry.clocks import moment_of, sighting_of

MOST_KEPT = timedelta(days=60)
_MILLISECONDS = re.compile(r"-?[0-9]{1,13}")


def filled_in_at(request, not_before=None):
    """By the register's clock, never ahead of it and never before `not_before`.

    The phone says when by its own clock and how far that is out (field/acts.js); what cannot be read, or lies further
    back than anybody keeps a form, counts as now.
    """
    now = timezone.now()
    offset = request.headers.get("X-Clock-Offset-Ms", "")
    try:
        filled_in = sighting_of(
            device_at=moment_of(request.headers.get("X-Filled-In-At")),
            offset_when_answered=timedelta(milliseconds=int(offset)) if _MILLISECONDS.fullmatch(offset) else None,
            sent_at=moment_of(request.headers.get("X-Sent-At")),
            received_at=now,
        ).seen_at
    except OverflowError:
        return now
    if not now - MOST_KEPT < filled_in < now:
        return now
    return max(filled_in, not_before) if not_before else filled_in
