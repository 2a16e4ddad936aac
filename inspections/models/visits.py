"""Visits: one attendance at a building."""

from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Case, Count, Q, When
from django.urls import reverse

from inspections.models.protocols import Protocol, VisitKind
from sites_registry.access import Role
from sites_registry.history import kept_history
from sites_registry.models import Building, Job, Person
from sites_registry.models.versioned import Versioned
from sites_registry.states import key_and_word
from zones.models.visibility import BuildingBoundQuerySet


class VisitQuerySet(BuildingBoundQuerySet):
    def assigned_to(self, person):
        return self.filter(engineer=person)

    def soonest_first(self):
        """Visits under way, then those planned, the next one first, then the others, the latest first."""
        rank = Case(When(state=Visit.State.UNDER_WAY, then=0), When(state=Visit.State.PLANNED, then=1), default=2)
        to_come = Case(When(state__in=[Visit.State.UNDER_WAY, Visit.State.PLANNED], then="planned_on"))
        return self.order_by(rank, to_come, "-planned_on", "-pk")

    def with_progress(self):
        """Visits with `total` and `done`, their test points and those with an outcome."""
        return self.annotate(total=Count("test_points"), done=Count("test_points__latest_result"))

    def unfinished(self):
        return self.filter(state__in=[Visit.State.PLANNED, Visit.State.UNDER_WAY])

    def finished(self):
        return self.filter(state=Visit.State.FINISHED)

    def testing_now(self, position, person):
        """The visit on which this person tests a position now, one of their own first; None for who is no engineer."""
        if person.role != Role.ENGINEER:
            return None
        here = Q(test_points__done_at=position) | Q(test_points__done_at=None, test_points__position=position)
        own_first = Case(When(engineer=person, then=0), default=1)
        visits = self.visible_to(person).filter(here, state=Visit.State.UNDER_WAY)
        return visits.order_by(own_first, "-started_at", "-pk").first()

    def with_building(self):
        return self.select_related("building__client", "engineer", "job")


class Visit(Versioned):
    """One attendance: commissioning, periodic inspection, remedial work."""

    class State(models.TextChoices):
        PLANNED = key_and_word("planned")
        UNDER_WAY = key_and_word("under_way")
        FINISHED = key_and_word("finished")
        CALLED_OFF = key_and_word("called_off")

    class Extent(models.TextChoices):
        EVERYTHING = "everything", "every check of the protocol"
        DUE = "due", "what falls due before the next visit"

    building = models.ForeignKey(Building, models.PROTECT, related_name="visits")
    job = models.ForeignKey(Job, models.PROTECT, related_name="visits")
    kind = models.CharField(max_length=16, choices=VisitKind)
    extent = models.CharField("asks", max_length=12, choices=Extent, default=Extent.EVERYTHING)
    # Of a visit that asks what is due: checks due before this day are asked; set at the start.
    due_before = models.DateField(null=True, blank=True, editable=False)
    state = models.CharField(max_length=12, choices=State, default=State.PLANNED, editable=False)
    planned_on = models.DateField()
    engineer = models.ForeignKey(
        Person,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="visits",
        limit_choices_to={"role": "engineer"},
    )
    protocol = models.ForeignKey(Protocol, models.PROTECT, null=True, blank=True, related_name="visits", editable=False)
    started_at = models.DateTimeField(null=True, blank=True, editable=False)
    finished_at = models.DateTimeField(null=True, blank=True, editable=False)
    called_off_reason = models.CharField(max_length=400, blank=True, editable=False)
    witness = models.CharField(max_length=120, blank=True)
    instruments = models.TextField(max_length=1000, blank=True, help_text="Serial and calibration due of each.")
    notes = models.TextField(max_length=4000, blank=True)
    is_ahead = False  # of a copy of a planned visit that shows it as under way (visits/ahead.py)

    objects = VisitQuerySet.as_manager()
    history = kept_history()

    class Meta:
        ordering = ["-planned_on", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(state="finished") | Q(finished_at__isnull=False),
                name="visit_finished_has_a_time",
            ),
            models.CheckConstraint(
                condition=Q(extent="everything", due_before=None) | Q(extent="due", kind="inspection"),
                name="visit_asks_what_is_due_only_of_an_inspection",
                violation_error_message="Only a periodic inspection can ask what is due; other visits ask everything.",
            ),
            models.CheckConstraint(
                condition=~Q(state="called_off") | ~Q(called_off_reason=""),
                name="visit_called_off_has_a_reason",
                violation_error_message="Say why the visit is called off.",
            ),
        ]
        indexes = [models.Index(fields=["state", "planned_on"], name="visit_state_planned")]

    def __str__(self):
        return f"Visit {self.pk}"

    def get_absolute_url(self):
        return reverse("visit-detail", args=[self.pk])

    @property
    def missed_words(self):
        """What is said of a visit whose planned day is past while nothing of it is recorded."""
        return f"was planned for {self.planned_on:%-d %b %Y}, not recorded as done"

    def clean(self):
        if self.job_id and self.building_id and self.job.building_id != self.building_id:
            raise ValidationError({"job": f"Job {self.job} is for another building. Choose a job of this building."})

    @property
    def asks_words(self):
        """What it asks, where that is less than everything: "what falls due before 28 Feb 2027"; else empty."""
        if self.extent == self.Extent.EVERYTHING:
            return ""
        return f"what falls due before {self.due_before:%-d %b %Y}" if self.due_before else self.get_extent_display()

    @property
    def is_open_for_results(self):
        return self.state == self.State.UNDER_WAY
