"""Clocks of phones: how far a device's clock is from the register's, and when a thing was seen by the register's clock.

An offset is what must be added to the device's clock: negative where it is fast.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django import forms
from django.utils import timezone


@dataclass(frozen=True)
class Sighting:
    """When something was seen: by the register's clock, by the device's, and the offset that parts the two."""

    seen_at: datetime
    device_at: datetime | None = None
    clock_offset_s: int | None = None
    clock_offset_at_sending_s: int | None = None


def moment_of(text):
    """An aware moment from what a device sent, or None where it sent none that can be read."""
    if not isinstance(text, str):
        return None
    try:
        moment = forms.DateTimeField(required=False).clean(text[:40])
        # The very ends of the calendar cannot be turned into another zone, nor reckoned with.
        return moment if moment and 1900 < timezone.localtime(moment).year < 9000 else None
    except (forms.ValidationError, ValueError, OverflowError):
        return None


def sighting_of(*, device_at, offset_when_answered, sent_at, received_at):
    """When an answer was seen.

    `offset_when_answered` (timedelta, None where the phone did not know it) was measured by the phone before it
    answered; without it the offset is that of the sending, which is wrong only where the clock was set in between.
    Raises OverflowError: the device's clock is beyond any calendar.
    """
    if device_at is None:
        return Sighting(received_at)
    at_sending = received_at - sent_at if sent_at else None
    offset = at_sending if offset_when_answered is None else offset_when_answered
    seen_at = device_at + (offset or timedelta(0))
    # By a second or two a measured offset is out: nothing was seen after it was received.
    if offset is not None and received_at < seen_at < received_at + timedelta(minutes=1):
        seen_at = received_at
    return Sighting(seen_at, device_at, _seconds(offset), _seconds(at_sending))


def _seconds(offset):
    return None if offset is None else round(offset.total_seconds())
