"""How a visit was left: who was shown what was found, and signed for it; never changed afterwards."""

from django.core.serializers.json import DjangoJSONEncoder
from django.db import models
from django.db.models import Q
from django.utils import timezone

from inspections.models.visits import Visit
from sites_registry.models import Person
from zones.models.visibility import BuildingBoundQuerySet


class SignOffQuerySet(BuildingBoundQuerySet):
    building_path = "visit__building"


class SignOff(models.Model):
    """One per visit, made as it is finished."""

    class How(models.TextChoices):
        GLASS = "glass", "signed on this phone"
        PAPER = "paper", "signed on paper, which the firm keeps"
        NOBODY = "nobody", "nobody was there"

    visit = models.OneToOneField(Visit, models.PROTECT, related_name="sign_off")
    how = models.CharField(max_length=8, choices=How)
    name = models.CharField(max_length=120, blank=True, help_text="Who signed for the building.")
    # {"width", "height", "strokes": [[[x, y, ms, pressure], …], …]}: as drawn, with the time of each point.
    signature = models.JSONField(null=True, blank=True, editable=False)
    why_nobody = models.CharField(max_length=400, blank=True)
    notice_given = models.CharField(
        max_length=400, blank=True, help_text="To whom, and how, the notice of impaired points was handed over."
    )
    stood = models.JSONField(encoder=DjangoJSONEncoder, editable=False, help_text="How the visit stood then.")
    taken_by = models.ForeignKey(Person, models.PROTECT, related_name="sign_offs")
    taken_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = SignOffQuerySet.as_manager()
    may_change = {}

    class Meta:
        verbose_name = "sign-off"
        constraints = [
            models.CheckConstraint(
                condition=Q(how="nobody") | ~Q(name=""),
                name="sign_off_names_who_signed",
                violation_error_message="Enter who signed.",
            ),
            models.CheckConstraint(
                condition=~Q(how="nobody") | ~Q(why_nobody=""),
                name="sign_off_of_nobody_says_why",
                violation_error_message="Say why nobody signed, and who was told.",
            ),
            models.CheckConstraint(
                condition=~Q(how="glass") | Q(signature__isnull=False),
                name="sign_off_on_glass_has_a_signature",
                violation_error_message="There is no signature.",
            ),
        ]

    def __str__(self):
        return f"Sign-off of {self.visit}"

    def save(self, *args, **kwargs):
        if not self._state.adding:
            raise ValueError("A sign-off is never changed.")
        super().save(*args, **kwargs)
