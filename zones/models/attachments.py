"""Files kept with a record: declarations, manuals, data sheets, photos, drawings."""

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from sites_registry.access import STAFF_ROLES, Role
from sites_registry.models import Building, Instrument, Job, Qualification
from zones.models import languages
from zones.models.panels import ControlPanel
from zones.models.product_models import ProductModel
from zones.models.units import Unit

OWNERS = ("building", "job", "panel", "unit", "product_model", "instrument", "qualification")


def _exactly_one_owner():
    condition = Q()
    for owner in OWNERS:
        condition |= Q(**{f"{name}__isnull": name != owner for name in OWNERS})
    return condition


class AttachmentQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Files of records that this person may see. A manager sees those of own buildings and their panels,
        and the declarations and manuals of models fitted there, but nothing that was withdrawn."""
        if not user.is_authenticated:
            return self.none()
        if user.role in STAFF_ROLES:
            return self.all()
        if user.role != Role.MANAGER:
            return self.none()
        buildings = Building.objects.visible_to(user)
        fitted_models = ProductModel.objects.filter(units__fittings__position__building__in=buildings)
        return self.filter(
            Q(building__in=buildings)
            | Q(panel__building__in=buildings)
            | Q(unit__in=Unit.objects.visible_to(user))
            | Q(product_model__in=fitted_models),
            withdrawn_at=None,
        ).distinct()

    def for_list(self):
        """With who added and who withdrew them, for a page that lists them."""
        return self.select_related("added_by", "withdrawn_by")


def stored_name(attachment, name):
    """Where the bytes lie: by digest, never by the name that somebody typed."""
    return f"attachments/{attachment.sha256[:2]}/{attachment.sha256}"


class Attachment(models.Model):
    """One file with one owner; its bytes never change."""

    class Kind(models.TextChoices):
        DECLARATION = "declaration", "declaration of performance"
        CONFORMITY = "conformity", "declaration of conformity"
        MANUAL = "manual", "manual"
        LABEL = "label", "label"
        DATA_SHEET = "data_sheet", "data sheet"
        DRAWING = "drawing", "drawing"
        PHOTO = "photo", "photo"
        EVIDENCE = "evidence", "calibration certificate or evidence of training"
        OTHER = "other", "other"

    building = models.ForeignKey(Building, models.PROTECT, null=True, blank=True, related_name="attachments")
    job = models.ForeignKey(Job, models.PROTECT, null=True, blank=True, related_name="attachments")
    panel = models.ForeignKey(ControlPanel, models.PROTECT, null=True, blank=True, related_name="attachments")
    unit = models.ForeignKey(Unit, models.PROTECT, null=True, blank=True, related_name="attachments")
    product_model = models.ForeignKey(ProductModel, models.PROTECT, null=True, blank=True, related_name="attachments")
    instrument = models.ForeignKey(Instrument, models.PROTECT, null=True, blank=True, related_name="attachments")
    qualification = models.ForeignKey(Qualification, models.PROTECT, null=True, blank=True, related_name="attachments")
    kind = models.CharField(max_length=16, choices=Kind)
    title = models.CharField(max_length=200, blank=True)
    language = models.CharField(max_length=40, blank=True, choices=languages.CHOICES)
    file = models.FileField(upload_to=stored_name, max_length=200)
    file_name = models.CharField(max_length=200, editable=False)
    media_type = models.CharField(max_length=100, editable=False)
    size_bytes = models.PositiveIntegerField(editable=False)
    sha256 = models.CharField(max_length=64, editable=False)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", editable=False)
    added_at = models.DateTimeField(default=timezone.now, editable=False)
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )

    objects = AttachmentQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "-added_at"]
        constraints = [
            models.CheckConstraint(
                condition=_exactly_one_owner(),
                name="attachment_has_exactly_one_owner",
                violation_error_message="A file belongs to exactly one record.",
            ),
            models.CheckConstraint(
                condition=Q(withdrawn_at__isnull=True, withdrawn_by__isnull=True)
                | Q(withdrawn_at__isnull=False, withdrawn_by__isnull=False),
                name="attachment_is_withdrawn_by_somebody",
            ),
            models.CheckConstraint(
                condition=Q(language__in=["", *sorted(languages.NAMES)]),
                name="attachment_language_has_a_code",
                violation_error_message="Choose the language from the list.",
            ),
        ]

    def __str__(self):
        return self.title or self.file_name

    def get_absolute_url(self):
        return reverse("attachment-download", args=[self.pk])

    @property
    def owner(self):
        return next(getattr(self, name) for name in OWNERS if getattr(self, f"{name}_id"))
