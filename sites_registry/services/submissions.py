"""A form that makes something is taken once, however often it is sent."""

import uuid

from sites_registry.models import Submission


def submission_key_of(request):
    """The key that a posted form carried, or None when it is missing or malformed."""
    try:
        return uuid.UUID(request.POST.get("submission_key", ""))
    except ValueError:
        return None


def led_to(*, key, person):
    """Where the form of this key led when it was first taken, or None."""
    if key is None:
        return None
    return Submission.objects.filter(key=key, person=person).values_list("led_to", flat=True).first()


def remember(*, key, person, led_to):
    """Store that this form was taken. Call it in the transaction that makes the record."""
    if key is not None:
        Submission.objects.create(key=key, person=person, led_to=led_to)
