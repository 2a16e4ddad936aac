"""People who log in, and the invitations that bring them here."""

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.contrib.auth.models import PermissionsMixin
from django.db import models
from django.db.models.functions import Lower
from django.urls import reverse
from django.utils import timezone

from sites_registry.access import Role
from sites_registry.history import kept_history
from sites_registry.models.versioned import Versioned


class PersonQuerySet(models.QuerySet):
    def visible_to(self, user):
        """People that this person may see: office sees all, engineers see colleagues, managers themselves."""
        if not user.is_authenticated:
            return self.none()
        match user.role:
            case Role.OFFICE:
                return self.all()
            case Role.ENGINEER:
                return self.filter(role__in=[Role.OFFICE, Role.ENGINEER])
            case Role.MANAGER:
                return self.filter(pk=user.pk)
        return self.none()

    def managers(self):
        """Building managers who can log in."""
        return self.filter(role=Role.MANAGER, is_active=True).order_by("full_name")

    def engineers(self):
        """People who carry out visits and can log in."""
        return self.filter(role=Role.ENGINEER, is_active=True).order_by("full_name")


class PersonManager(BaseUserManager.from_queryset(PersonQuerySet)):
    def get_by_natural_key(self, email):
        """The person of an e-mail, typed in whatever case; e-mails are stored in small letters."""
        return self.get(email=email.strip().lower())

    def create_user(self, email, password=None, **fields):
        person = self.model(email=self.normalize_email(email).lower(), **fields)
        person.set_password(password)
        person.full_clean(exclude=["password"])
        person.save()
        return person

    def create_superuser(self, email, password=None, **fields):
        fields = {"role": Role.OFFICE, "is_staff": True, "is_superuser": True, "full_name": email, **fields}
        return self.create_user(email, password, **fields)


class Person(Versioned, AbstractBaseUser, PermissionsMixin):
    """Somebody with a log-in; the role decides what opens."""

    class Mails(models.TextChoices):
        """What this person is told by mail; who is a service engineer is told nothing so far."""

        AT_ONCE = "at_once", "a digest a day, an impairment at once"
        DIGEST = "digest", "a digest a day"
        OFF = "off", "no mails"

    email = models.EmailField("e-mail", max_length=254, unique=True)
    full_name = models.CharField("name", max_length=120)
    role = models.CharField(max_length=16, choices=Role)
    phone = models.CharField(max_length=40, blank=True)
    competence = models.CharField(
        max_length=300, blank=True, help_text="Training and evidence, as it is to stand on certificates."
    )
    competence_expires_on = models.DateField("competence lapses on", null=True, blank=True)
    is_active = models.BooleanField("can log in", default=True)
    is_staff = models.BooleanField("support access", default=False)
    joined_at = models.DateTimeField(default=timezone.now, editable=False)
    mails = models.CharField("mails", max_length=8, choices=Mails, default=Mails.AT_ONCE)

    objects = PersonManager()
    history = kept_history(excluded_fields=["password", "last_login"])

    uncounted_fields = frozenset({"last_login", "password", "mails"})  # logging in is no edit

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = ["full_name"]

    class Meta:
        ordering = ["full_name"]
        verbose_name_plural = "people"
        constraints = [
            models.UniqueConstraint(
                Lower("email"),
                name="person_email_unique",
                violation_error_message="This e-mail has a log-in already.",
            )
        ]

    def __str__(self):
        return self.full_name

    def get_absolute_url(self):
        return reverse("person-update", args=[self.pk])

    @property
    def is_office(self):
        return self.role == Role.OFFICE

    @property
    def is_engineer(self):
        return self.role == Role.ENGINEER

    @property
    def is_manager(self):
        return self.role == Role.MANAGER

    @property
    def works_for_the_firm(self):
        return self.role in (Role.OFFICE, Role.ENGINEER)


class InvitationQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Invitations are the office's business."""
        return self.all() if user.is_authenticated and user.role == Role.OFFICE else self.none()

    def open(self):
        """Invitations that can still be taken up."""
        return self.waiting().filter(expires_at__gt=timezone.now())

    def waiting(self):
        """Invitations neither taken up nor withdrawn; an expired one can be sent again."""
        return self.filter(accepted_at=None, withdrawn_at=None)


class Invitation(models.Model):
    """A link sent by e-mail; only the hash of its token is kept."""

    email = models.EmailField("e-mail", max_length=254)
    full_name = models.CharField("name", max_length=120)
    role = models.CharField(max_length=16, choices=Role, default=Role.MANAGER)
    buildings = models.ManyToManyField("sites_registry.Building", blank=True, related_name="invitations")
    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    invited_by = models.ForeignKey(Person, models.PROTECT, related_name="invitations_sent")
    invited_at = models.DateTimeField(default=timezone.now)
    expires_at = models.DateTimeField()
    accepted_at = models.DateTimeField(null=True, blank=True)
    accepted_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    objects = InvitationQuerySet.as_manager()

    class Meta:
        ordering = ["-invited_at"]

    def __str__(self):
        return f"{self.full_name} <{self.email}>"

    @property
    def is_open(self):
        return not self.accepted_at and not self.withdrawn_at and self.expires_at > timezone.now()
