"""Photographs that a phone sends: announced, then in parts that go on after a break; each is kept exactly once."""

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum
from hashlib import sha256

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models.functions import Length
from django.utils import timezone

from inspections.models import ArrivingPhoto, Defect, Photo, PhotoPart, TestPoint
from inspections.photos.keeping import PhotoRefused, check_what_of, keep_photo
from inspections.photos.pictures import PictureRefused
from inspections.photos.told import told_of
from inspections.test_points.numbers_ahead import made_of
from sites_registry.clocks import Sighting, moment_of, sighting_of
from zones.models import Position

MOST_BYTES_OF_A_PART = 256 * 1024
# What a phone never went on with: where it is sent again after all, it begins anew.
MOST_ARRIVING = 100  # of one person
GIVEN_UP_AFTER = timedelta(days=30)
CLOCK_AHEAD = timedelta(minutes=15)
CLOCK_BEHIND = timedelta(days=1)


class Fate(StrEnum):
    GOING_ON = "going_on"
    TAKEN = "taken"
    REFUSED = "refused"


@dataclass(frozen=True)
class PhotoFate:
    """What became of a photograph so far; `next` is the byte to go on with."""

    fate: str
    message: str = ""
    next: int = 0


@transaction.atomic
def announce(*, visit, person, told, sent_at=None, received_at=None):
    """A phone says what it is about to send; announced again, it goes on where it broke off. Returns a PhotoFate."""
    try:
        cleaned = told_of(told)
        if fate := _kept_already(cleaned["client_uuid"], person, cleaned):
            return fate
        things = _things(visit, cleaned)
    except PhotoRefused as refusal:
        return PhotoFate(Fate.REFUSED, str(refusal))
    arriving = ArrivingPhoto.objects.filter(client_uuid=cleaned["client_uuid"]).first()
    if arriving and (arriving.person_id != person.pk or arriving.visit_id != visit.pk):
        return PhotoFate(Fate.REFUSED, "This photograph is being sent by somebody else, or for another visit.")
    if arriving and (arriving.sha256, arriving.size_bytes) != (cleaned["sha256"], cleaned["size_bytes"]):
        arriving.delete()  # of other bytes: these begin anew
        arriving = None
    if arriving is None:
        _make_room(person)
        sighting = _sighting(visit, cleaned, moment_of(sent_at), received_at or timezone.now())
        arriving = ArrivingPhoto.objects.create(
            client_uuid=cleaned["client_uuid"],
            visit=visit,
            person=person,
            told=_as_kept(cleaned, things, sighting),
            size_bytes=cleaned["size_bytes"],
            sha256=cleaned["sha256"],
        )
    return PhotoFate(Fate.GOING_ON, next=_length(arriving))


@transaction.atomic
def take_part(*, visit, person, client_uuid, offset, content):
    """Keep the bytes from `offset` on; with the last of them the photograph is made. Returns a PhotoFate."""
    if fate := _kept_already(client_uuid, person):
        return fate
    # SQLite ignores row locks; there the immediate transaction makes a second tab wait.
    arriving = (
        ArrivingPhoto.objects.select_for_update(of=("self",))
        .filter(client_uuid=client_uuid, visit=visit, person=person)
        .first()
    )
    if arriving is None:
        return PhotoFate(Fate.REFUSED, "This photograph was not announced, or begins anew. Send it again.")
    length = _length(arriving)
    if not content or len(content) > MOST_BYTES_OF_A_PART or length + len(content) > arriving.size_bytes:
        message = f"A part of {len(content)} bytes at {offset} does not fit this photograph. Send it again."
        return PhotoFate(Fate.REFUSED, message, next=length)
    if offset != length:
        return PhotoFate(Fate.GOING_ON, next=length)  # kept already, or one before it is missing
    PhotoPart.objects.create(arriving=arriving, offset=offset, content=content)
    length += len(content)
    return _whole(arriving) if length == arriving.size_bytes else PhotoFate(Fate.GOING_ON, next=length)


def _whole(arriving):
    content = b"".join(bytes(part.content) for part in arriving.parts.order_by("offset"))
    if sha256(content).hexdigest() != arriving.sha256:
        arriving.delete()
        return PhotoFate(Fate.REFUSED, "The photograph was damaged on its way. It is kept on the phone: send it again.")
    try:
        with transaction.atomic():
            keep_photo(
                visit=arriving.visit,
                content=content,
                client_uuid=arriving.client_uuid,
                taken_by=arriving.person,
                sent_sha256=arriving.sha256,
                forms=("jpeg",),
                **arriving.told,
            )
    except (PhotoRefused, PictureRefused) as refusal:
        fate = PhotoFate(Fate.REFUSED, str(refusal))
    except ValidationError as error:
        fate = PhotoFate(Fate.REFUSED, _in_words(error))
    else:
        fate = PhotoFate(Fate.TAKEN)
    arriving.delete()
    return fate


def _in_words(error):
    """Why a photograph cannot be a record; what it is of may have been taken out of the register since it began."""
    gone = [name for name in ("test_point", "position", "defect") if name in error.message_dict]
    if gone:
        return (
            f"The {gone[0].replace('_', ' ')} that it is of was removed from the register meanwhile. Take it again as "
            "a photograph of the visit."
        )
    return " ".join(error.messages)


def _kept_already(client_uuid, person, told=None):
    """The fate of what is a record already; `told` again in other words, it is refused: nothing of a record changes."""
    kept = Photo.objects.filter(client_uuid=client_uuid).first()
    if kept is None:
        return None
    if kept.taken_by_id != person.pk:
        return PhotoFate(Fate.REFUSED, "A photograph of somebody else carries this identifier. Take it again.")
    if told and any(getattr(kept, name) != told[name] for name in ("stage", "caption", "marks")):
        return PhotoFate(
            Fate.REFUSED,
            f"It was recorded before as {kept}, with other words or marks. To replace it, withdraw it there.",
        )
    return PhotoFate(Fate.TAKEN)


def _things(visit, cleaned):
    """{test_point, position or defect: the record}, checked. Raises PhotoRefused."""
    things = {}
    if (number := cleaned.get("test_point")) and number < 0:  # taken ahead of the start of the visit
        cleaned["test_point"] = made_of(visit, [number]).get(number, number)
    for name, model in (("test_point", TestPoint), ("position", Position), ("defect", Defect)):
        if cleaned.get(name):
            things[name] = model.objects.filter(pk=cleaned[name]).first()
            if things[name] is None:
                raise PhotoRefused(f"The {name.replace('_', ' ')} {cleaned[name]} is not in the register.")
    check_what_of(visit, **things)
    return things


def _sighting(visit, cleaned, sent_at, received_at):
    """When it was taken, as an answer says when it was seen; of a clock beyond belief only what it said is kept."""
    offset, device_at = cleaned["clock_offset_ms"], moment_of(cleaned["taken_at"])
    try:
        sighting = sighting_of(
            device_at=device_at,
            sent_at=sent_at,
            received_at=received_at,
            offset_when_answered=None if offset is None else timedelta(milliseconds=offset),
        )
    except OverflowError:
        return Sighting(None, device_at)
    started_at = visit.started_at or received_at
    if device_at and started_at - CLOCK_BEHIND <= sighting.seen_at <= received_at + CLOCK_AHEAD:
        return sighting
    return Sighting(None, device_at)


def _as_kept(cleaned, things, sighting):
    """What is said of it as JSON, by the names of `keep_photo`."""

    def text(value):
        return None if value is None else str(value)

    return {
        **{f"{name}_id": record.pk for name, record in things.items()},
        "stage": cleaned["stage"],
        "caption": cleaned["caption"],
        "marks": cleaned["marks"],
        "taken_at": sighting.seen_at and sighting.seen_at.isoformat(),
        "device_at": sighting.device_at and sighting.device_at.isoformat(),
        "clock_offset_s": sighting.clock_offset_s,
        "latitude": text(cleaned["latitude"]),
        "longitude": text(cleaned["longitude"]),
    }


def _length(arriving):
    """How many bytes are here: parts are kept only in their order, so that nothing is missing between them."""
    last = arriving.parts.order_by("-offset").values_list("offset", Length("content")).first()
    return sum(last) if last else 0


def _make_room(person):
    ArrivingPhoto.objects.filter(begun_at__lt=timezone.now() - GIVEN_UP_AFTER).delete()
    kept = ArrivingPhoto.objects.filter(person=person).order_by("-begun_at", "-pk").values("pk")[: MOST_ARRIVING - 1]
    ArrivingPhoto.objects.filter(person=person).exclude(pk__in=list(kept.values_list("pk", flat=True))).delete()
