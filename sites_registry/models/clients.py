"""Clients: who owns or runs buildings and pays for the work."""

from django.db import models
from django.db.models.functions import Lower
from django.urls import reverse

from sites_registry.access import STAFF_ROLES, Role
from sites_registry.history import kept_history
from sites_registry.models.versioned import Versioned


class ClientQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Clients that this person may see: the firm sees all, a manager the owners of own buildings."""
        if not user.is_authenticated:
            return self.none()
        if user.role in STAFF_ROLES:
            return self.all()
        if user.role == Role.MANAGER:
            return self.filter(buildings__managers=user).distinct()
        return self.none()


class Client(Versioned):
    """A firm or body that owns or runs buildings."""

    name = models.CharField(max_length=120)
    address = models.TextField(max_length=400, blank=True)
    certificate_address = models.TextField(
        "address on certificates",
        max_length=400,
        blank=True,
        help_text="Only if it differs from the address.",
    )
    email = models.EmailField("e-mail", blank=True)
    phone = models.CharField(max_length=40, blank=True)
    call_out_hours = models.PositiveSmallIntegerField(
        "agreed call-out time (h)", null=True, blank=True, help_text="From report to attendance, by contract."
    )
    notes = models.TextField(max_length=4000, blank=True)

    objects = ClientQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                Lower("name"),
                name="client_name_unique",
                violation_error_message="A client of this name exists.",
            )
        ]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return reverse("client-detail", args=[self.pk])


class ContactQuerySet(models.QuerySet):
    def visible_to(self, user):
        return self.filter(client__in=Client.objects.visible_to(user))


class Contact(Versioned):
    """Somebody at a client."""

    client = models.ForeignKey(Client, models.PROTECT, related_name="contacts")
    name = models.CharField(max_length=120)
    function = models.CharField(max_length=120, blank=True, help_text="For instance: facilities manager.")
    email = models.EmailField("e-mail", blank=True)
    phone = models.CharField(max_length=40, blank=True)
    language = models.CharField(max_length=40, blank=True)

    objects = ContactQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["name"]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return self.client.get_absolute_url()
