"""Buildings: where an installation stands, who answers for it, how one gets in."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.urls import reverse

from sites_registry.access import STAFF_ROLES, Role
from sites_registry.history import kept_history
from sites_registry.models.clients import Client
from sites_registry.models.people import Person
from sites_registry.models.versioned import Versioned


class BuildingQuerySet(models.QuerySet):
    def visible_to(self, user):
        """Buildings that this person may see. No other code decides it."""
        if not user.is_authenticated:
            return self.none()
        if user.role in STAFF_ROLES:
            return self.all()
        if user.role == Role.MANAGER:
            return self.filter(managers=user)
        return self.none()  # a role added later sees nothing until it is given something

    def with_client(self):
        """Buildings with their client read in the same query."""
        return self.select_related("client")


class Building(Versioned):
    """A building with natural smoke control."""

    class Use(models.TextChoices):
        FLATS = "flats", "flats"
        OFFICE = "office", "offices"
        SCHOOL = "school", "school"
        CARE = "care", "care home or hospital"
        ASSEMBLY = "assembly", "assembly hall"
        RETAIL = "retail", "shops"
        INDUSTRY = "industry", "factory or workshop"
        STORAGE = "storage", "warehouse"
        HOTEL = "hotel", "hotel"
        TRANSPORT = "transport", "station or garage"
        OTHER = "other", "other"

    class Country(models.TextChoices):
        """Whose law counts; the codes are those of ISO 3166-2."""

        ENGLAND = "GB-ENG", "England"
        WALES = "GB-WLS", "Wales"
        SCOTLAND = "GB-SCT", "Scotland"
        NORTHERN_IRELAND = "GB-NIR", "Northern Ireland"
        OTHER = "other", "another country"

    client = models.ForeignKey(Client, models.PROTECT, related_name="buildings")
    name = models.CharField(max_length=120)
    slug = models.SlugField("address in the register", max_length=80, unique=True)
    use = models.CharField(max_length=16, choices=Use, default=Use.OTHER)
    address = models.TextField(max_length=400, blank=True)
    country = models.CharField(
        max_length=8, choices=Country, blank=True, help_text="Some duties and remarks are the law of one country only."
    )
    storeys = models.PositiveSmallIntegerField(
        null=True, blank=True, validators=[MinValueValidator(1), MaxValueValidator(200)]
    )
    height_m = models.DecimalField(
        "height of top storey (m)",
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0), MaxValueValidator(999)],
    )
    responsible_person = models.CharField(max_length=120, blank=True)
    responsible_person_contact = models.CharField(max_length=200, blank=True)
    access_notes = models.TextField("keys and access", max_length=2000, blank=True)
    roof_access_notes = models.TextField("roof access", max_length=2000, blank=True)
    asbestos_notes = models.TextField("asbestos", max_length=2000, blank=True)
    alarm_receiving_centre = models.CharField(
        max_length=200, blank=True, help_text="Name and telephone. Never a code word."
    )
    fire_strategy_reference = models.CharField("fire strategy", max_length=200, blank=True)
    standards_applied = models.CharField(max_length=300, blank=True, help_text="With edition.")
    inspection_interval_months = models.PositiveSmallIntegerField(
        "inspection every (months)", default=12, validators=[MinValueValidator(1), MaxValueValidator(36)]
    )
    managers = models.ManyToManyField(
        Person, blank=True, related_name="buildings", limit_choices_to={"role": "manager"}
    )

    objects = BuildingQuerySet.as_manager()
    history = kept_history(m2m_fields=[managers])

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                "client",
                Lower("name"),
                name="building_name_unique_per_client",
                violation_error_message="This client has a building of this name already.",
            ),
            models.CheckConstraint(
                condition=Q(inspection_interval_months__gte=1),
                name="building_inspection_interval_at_least_one_month",
                violation_error_message="The interval is at least one month.",
            ),
            models.CheckConstraint(
                condition=Q(country__in=["", "GB-ENG", "GB-WLS", "GB-SCT", "GB-NIR", "other"]),
                name="building_country_is_one_of_the_list",
                violation_error_message="Choose the country from the list, or leave it empty.",
            ),
        ]

    def __str__(self):
        return self.name

    def get_absolute_url(self):
        return reverse("building-detail", args=[self.slug])

    def get_files_url(self):
        """The page on which its files stand."""
        return reverse("building-particulars", args=[self.slug])
