"""The contracting firm itself, as its papers name it. One row."""

from django.db import models
from django.db.models import Q
from django.urls import reverse

from sites_registry.history import kept_history
from sites_registry.models.versioned import Versioned


class Firm(Versioned):
    """The firm that keeps this register."""

    name = models.CharField(max_length=120, default="The contracting firm")
    address = models.TextField(max_length=400, blank=True)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField("e-mail", blank=True)
    registration = models.CharField(
        "registration or scheme", max_length=200, blank=True, help_text="As it is to stand on certificates."
    )
    logo = models.CharField(max_length=200, blank=True, editable=False)  # of a kept file, named by its digest
    due_soon_days = models.PositiveSmallIntegerField(
        "due soon means within (days)", default=30, help_text="Common practice; the firm decides."
    )

    history = kept_history()

    class Meta:
        verbose_name_plural = "firm"
        constraints = [models.CheckConstraint(condition=Q(pk=1), name="firm_is_one")]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return reverse("firm-update")

    @property
    def is_named(self):
        """Whether the office has entered the firm; a fresh register has a nameless one."""
        return self.name != self._meta.get_field("name").default

    @classmethod
    def current(cls):
        """The one row; a fresh register has a nameless firm until the office fills it in."""
        return cls.objects.filter(pk=1).first() or cls(pk=1)
