"""As-installed revisions of a building, and what changed since one; a manager reads those of own buildings."""

import django_filters
import django_tables2 as tables
from django.db.models import Q
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET

from sites_registry.access import STAFF_ROLES
from sites_registry.models import Building
from sites_registry.states import state_mark
from sites_registry.views.lists import ListPage, RegisterTable
from zones.as_installed.document import comparison_of
from zones.as_installed.forms import RevisionForm
from zones.as_installed.revisions import take_revision
from zones.editing.pages import ZonesFormPage, building_of
from zones.models import AsInstalledRevision

# A whole new building is one "added" per device; more rows than this help nobody on a screen.
CHANGES_SHOWN = 1_000


class RevisionFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(label="Reason or job", method="named")

    class Meta:
        model = AsInstalledRevision
        fields = []

    def named(self, revisions, name, value):
        return revisions.filter(Q(reason__icontains=value) | Q(job__number__icontains=value))


class RevisionTable(RegisterTable):
    noun = "revisions"
    number = tables.Column(verbose_name="Revision", linkify=True)
    taken_at = tables.DateTimeColumn(verbose_name="Taken", format="j M Y, H:i")
    reason = tables.Column()
    job = tables.Column(linkify=False)
    taken_by = tables.Column(verbose_name="By")
    state = tables.Column(verbose_name="Checked", orderable=False)
    holds = {"state": "state"}

    def render_state(self, value):
        return state_mark(value)

    class Meta(RegisterTable.Meta):
        order_by = ("-number",)


class RevisionList(ListPage):
    table_class = RevisionTable
    filterset_class = RevisionFilter
    heading = "As-installed revisions"
    add_word = "Take a revision"
    add_roles = STAFF_ROLES
    empty_text = (
        "No revision yet. One is taken whenever a job closes; take the first by hand once the record is as the "
        "building is."
    )

    def get_queryset(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        revisions = AsInstalledRevision.objects.visible_to(self.request.user).filter(building=self.building)
        return revisions.without_record().select_related("job", "taken_by", "building").prefetch_related("acts")

    def get_add_url(self):
        return reverse("as-installed-create", args=[self.building.slug])

    def get_trail(self):
        return [self.building]


class RevisionCreate(ZonesFormPage):
    form_class = RevisionForm
    heading = "Take an as-installed revision"
    lead_line = "Freezes what the register holds now: devices, serials, wiring, settings, cause and effect."
    verb = "Take the revision"
    saved_message = "As-installed {record} is taken."

    def form_arguments(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        return {}

    def get_trail(self, record):
        return [self.building]

    def get_back_url(self, record):
        return reverse("as-installed-list", args=[self.building.slug])

    def act(self, form):
        return take_revision(building=self.building, taken_by=self.request.user, reason=form.cleaned_data["reason"])


@require_GET
def changes(request, slug):
    building = get_object_or_404(Building.objects.visible_to(request.user).with_client(), slug=slug)
    comparison = comparison_of(building, request.GET)
    numbers = AsInstalledRevision.objects.filter(building=building).order_by("-number").values_list("number", flat=True)
    context = {
        "building": building,
        "comparison": comparison,
        "numbers": list(numbers),
        "shown": comparison.changes[:CHANGES_SHOWN] if comparison else [],
    }
    return render(request, "zones/as_installed/as_installed_changes.html", context)
