"""As-installed revisions of a building, and what changed since one; a manager reads those of own buildings."""

from dataclasses import dataclass

import django_filters
import django_tables2 as tables
from django.db.models import Q
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from sites_registry.access import STAFF_ROLES
from sites_registry.documents.downloads import download, file_name
from sites_registry.models import Building
from sites_registry.views.lists import ListPage, RegisterTable
from zones.as_installed.changes import counted
from zones.as_installed.document import changes_report_pdf
from zones.as_installed.forms import RevisionForm
from zones.as_installed.revisions import changes_since, take_revision
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
    number = tables.Column(verbose_name="Revision", attrs={"td": {"class": "number"}, "th": {"class": "number"}})
    taken_at = tables.DateTimeColumn(verbose_name="Taken", format="j M Y, H:i")
    reason = tables.Column()
    job = tables.Column(default="–", linkify=False)
    taken_by = tables.Column(verbose_name="By")

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
        return revisions.without_record().select_related("job", "taken_by", "building")

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


@dataclass(frozen=True)
class Comparison:
    """Two states of a building's record and what lies between; `until` is None for what stands now."""

    building: Building
    since: AsInstalledRevision
    until: AsInstalledRevision | None
    changes: list

    @property
    def until_words(self):
        return f"revision {self.until.number}" if self.until else "now"

    @property
    def counts(self):
        return counted(self.changes)

    @property
    def is_unaltered(self):
        return self.since.is_unaltered and (self.until is None or self.until.is_unaltered)


def _number(request, name):
    text = request.GET.get(name, "")
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise Http404
    return int(text)


def _comparison(request, slug):
    """The comparison that the address asks for: `?from=2&to=3`; without `from` the latest, without `to` now."""
    buildings = Building.objects.visible_to(request.user).with_client()
    building = get_object_or_404(buildings, slug=slug)
    revisions = AsInstalledRevision.objects.visible_to(request.user).filter(building=building)
    revisions = revisions.select_related("job", "taken_by", "building")
    number, last = _number(request, "from"), _number(request, "to")
    since = get_object_or_404(revisions, number=number) if number else revisions.order_by("-number").first()
    until = get_object_or_404(revisions, number=last) if last else None
    if since and until and until.number < since.number:
        since, until = until, since
    return building, since and Comparison(building, since, until, changes_since(since, until=until))


@require_GET
def changes(request, slug):
    building, comparison = _comparison(request, slug)
    numbers = AsInstalledRevision.objects.filter(building=building).order_by("-number").values_list("number", flat=True)
    context = {
        "building": building, "comparison": comparison, "numbers": list(numbers),
        "shown": comparison.changes[:CHANGES_SHOWN] if comparison else [],
    }  # fmt: skip
    return render(request, "zones/as_installed/as_installed_changes.html", context)


@require_GET
def changes_pdf(request, slug):
    building, comparison = _comparison(request, slug)
    if comparison is None:
        raise Http404
    now = timezone.now()
    content = changes_report_pdf(comparison, prepared_by=request.user, now=now)
    name = file_name(building, f"changes since revision {comparison.since.number}", f"{now:%Y-%m-%d}", "pdf")
    return download(content, "application/pdf", name)
