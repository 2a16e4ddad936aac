"""Photographs: what was seen on a visit, and the parts of one that is still arriving from a phone."""

from django.conf import settings
from django.db import models
from django.db.models import Case, Q, Value, When
from django.db.models.functions import Coalesce
from django.urls import reverse
from django.utils import timezone

from inspections.models.defects import Defect
from inspections.models.test_points import Leg, TestPoint
from inspections.models.visits import Visit
from sites_registry.access import STAFF_ROLES, Role
from sites_registry.append_only import ONCE
from zones.models import Position
from zones.models.visibility import BuildingBoundQuerySet

OF_ONE_THING = ("test_point", "position", "defect")


def _of_one_thing_at_most():
    condition = Q(**{f"{name}__isnull": True for name in OF_ONE_THING})
    for one in OF_ONE_THING:
        condition |= Q(**{f"{name}__isnull": name != one for name in OF_ONE_THING})
    return condition


class PhotoQuerySet(BuildingBoundQuerySet):
    building_path = "visit__building"

    def visible_to(self, user):
        """Of the buildings that this person may see; a manager sees none that was withdrawn."""
        seen = super().visible_to(user)
        return seen if user.is_authenticated and user.role in STAFF_ROLES else seen.standing()

    def standing(self):
        return self.filter(withdrawn_at=None)

    def withdrawn(self):
        return self.exclude(withdrawn_at=None)

    def of_defect(self, defect):
        """Those of the defect, and those taken at the test that found it, on whichever phone that was."""
        found_by = defect.found_by_result
        of_test = Q(test_point=found_by.test_point_id) if found_by else Q(pk__in=[])
        return self.filter(Q(defect=defect) | of_test)

    def of_position(self, position):
        """Those of the position, of its tests and of its defects."""
        return self.filter(Q(position=position) | Q(test_point__position=position) | Q(defect__position=position))

    def for_list(self):
        """With what a page says of each."""
        return self.select_related(
            "visit", "taken_by", "withdrawn_by", "test_point__position", "position", "defect__position"
        )

    def in_walking_order(self):
        """Those of the visit as a whole first, then as it is walked, at one place as they were taken."""
        at_start = Value(-1)
        return self.annotate(
            walk_leg=Coalesce("test_point__leg", Case(When(_is_of_visit(), then=at_start), default=Value(Leg.WALK))),
            walk_order=Coalesce(
                "test_point__position__walking_order",
                "position__walking_order",
                "defect__position__walking_order",
                at_start,
            ),
            walk_tag=Coalesce(
                "test_point__position__tag_key", "position__tag_key", "defect__position__tag_key", Value("")
            ),
        ).order_by("walk_leg", "walk_order", "walk_tag", "taken_at", "pk")


def _is_of_visit():
    return Q(**{f"{name}__isnull": True for name in OF_ONE_THING})


class Photo(models.Model):
    """One photograph. Neither its bytes nor what is said of it ever change; a wrong one is withdrawn, with a reason."""

    class Stage(models.TextChoices):
        BEFORE = "before", "before"
        AFTER = "after", "after"

    visit = models.ForeignKey(Visit, models.PROTECT, related_name="photos")
    test_point = models.ForeignKey(TestPoint, models.PROTECT, null=True, blank=True, related_name="photos")
    position = models.ForeignKey(Position, models.PROTECT, null=True, blank=True, related_name="photos")
    defect = models.ForeignKey(Defect, models.PROTECT, null=True, blank=True, related_name="photos")
    stage = models.CharField(
        max_length=8, choices=Stage, blank=True, help_text="Before or after a defect was put right."
    )
    caption = models.CharField(max_length=200, blank=True)
    client_uuid = models.UUIDField(unique=True, help_text="Given by the phone: sent twice, it is taken once.")
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="photos_taken")
    # By the register's clock, as answers are; empty where no clock could tell.
    taken_at = models.DateTimeField(null=True, blank=True)
    device_at = models.DateTimeField(null=True, blank=True, editable=False)
    clock_offset_s = models.BigIntegerField(null=True, blank=True, editable=False)
    received_at = models.DateTimeField(default=timezone.now, editable=False)
    # Only where the person who took it allowed that.
    latitude = models.DecimalField(max_digits=8, decimal_places=5, null=True, blank=True)
    longitude = models.DecimalField(max_digits=8, decimal_places=5, null=True, blank=True)
    marks = models.JSONField(
        default=list, blank=True, help_text="Arrows and circles, in parts of its width and height."
    )
    file = models.FileField(max_length=200)
    shown = models.FileField(max_length=200, help_text="With its marks.")
    small = models.FileField(max_length=200, help_text="With its marks, small.")
    sha256 = models.CharField(max_length=64, editable=False, help_text="Of the file as it is kept.")
    sent_sha256 = models.CharField(max_length=64, editable=False, help_text="Of the file as it came.")
    width_px = models.PositiveIntegerField(editable=False)
    height_px = models.PositiveIntegerField(editable=False)
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )
    withdrawn_reason = models.CharField(max_length=200, blank=True, editable=False)

    objects = PhotoQuerySet.as_manager()
    may_change = dict.fromkeys(("withdrawn_at", "withdrawn_by", "withdrawn_reason"), ONCE)

    class Meta:
        ordering = ["visit", "taken_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=_of_one_thing_at_most(),
                name="photo_is_of_one_thing",
                violation_error_message="A photograph is of one test, position or defect, or of the visit as a whole.",
            ),
            models.CheckConstraint(
                condition=Q(stage="") | Q(stage__in=["before", "after"]) & ~_is_of_visit(),
                name="photo_before_or_after_is_of_something",
                violation_error_message="Before and after are told of a defect, a test or a position.",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at=None, withdrawn_by=None, withdrawn_reason="")
                | Q(withdrawn_at__isnull=False, withdrawn_by__isnull=False) & ~Q(withdrawn_reason=""),
                name="photo_is_withdrawn_by_somebody_with_a_reason",
                violation_error_message="Say why the photograph is withdrawn.",
            ),
            models.CheckConstraint(
                condition=Q(latitude=None, longitude=None)
                # Named, as a comparison with nothing is no refusal to a database.
                | Q(latitude__isnull=False, longitude__isnull=False)
                & Q(latitude__gte=-90, latitude__lte=90, longitude__gte=-180, longitude__lte=180),
                name="photo_place_is_on_earth",
            ),
            models.CheckConstraint(condition=Q(width_px__gt=0, height_px__gt=0), name="photo_has_a_size"),
        ]

    def __str__(self):
        return f"Photograph {self.pk}"

    def get_absolute_url(self):
        return reverse("photo-shown", args=[self.pk])

    @property
    def small_url(self):
        return reverse("photo-small", args=[self.pk])

    @property
    def at_position(self):
        """The position where it was taken, or None."""
        if self.test_point:
            return self.test_point.position
        return self.position or (self.defect and self.defect.position)

    @property
    def of_words(self):
        """What it is of: "Charger voltage", "Defect 7", "as a whole"."""
        if self.test_point:
            return self.test_point.title
        if self.defect:
            return str(self.defect)
        return "" if self.position else f"{self.visit} as a whole"

    @property
    def alt(self):
        """What stands in its place where it cannot be seen: its caption, else what it is of."""
        if self.caption:
            return self.caption
        words = (self.at_position and self.at_position.tag, self.of_words, self.stage)
        return f"{self}: {', '.join(filter(None, words))}"

    def may_be_withdrawn_by(self, person):
        """The office withdraws any, an engineer own ones."""
        if self.withdrawn_at is not None:
            return False
        return person.role == Role.OFFICE or (person.role in STAFF_ROLES and self.taken_by_id == person.pk)


class ArrivingPhotoQuerySet(BuildingBoundQuerySet):
    building_path = "visit__building"


class ArrivingPhoto(models.Model):
    """A photograph that a phone has announced and not sent whole; `told` is all that was said of it, checked again."""

    client_uuid = models.UUIDField(unique=True)
    visit = models.ForeignKey(Visit, models.PROTECT, related_name="photos_arriving")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="photos_arriving")
    told = models.JSONField()
    size_bytes = models.PositiveIntegerField()
    sha256 = models.CharField(max_length=64)
    begun_at = models.DateTimeField(default=timezone.now)

    objects = ArrivingPhotoQuerySet.as_manager()

    class Meta:
        ordering = ["begun_at", "pk"]
        constraints = [models.CheckConstraint(condition=Q(size_bytes__gt=0), name="arriving_photo_has_a_size")]

    def __str__(self):
        return f"Photograph on its way to {self.visit}"


class PhotoPart(models.Model):
    """Some bytes of it, from `offset` on; each part is kept once."""

    arriving = models.ForeignKey(ArrivingPhoto, models.CASCADE, related_name="parts")
    offset = models.PositiveIntegerField()
    content = models.BinaryField()

    class Meta:
        ordering = ["arriving", "offset"]
        constraints = [models.UniqueConstraint(fields=["arriving", "offset"], name="photo_part_is_kept_once")]

    def __str__(self):
        return f"{self.arriving}, from {self.offset}"
