"""What still stands at the end of a visit, before a certificate and before a job is closed: one list, in one place.

Computed when read, never stored; what a person accepted stands beside the matter, as long as the matter reads the same.
"""

import hashlib
from collections import Counter
from dataclasses import dataclass, replace

from django.db.models import Q
from django.urls import reverse

from inspections.models import AcceptedMatter, TestPoint, Visit, VisitKind
from sites_registry.services.jobs import HANDED_OVER_KINDS
from zones.design_check.checked import checked_building
from zones.design_check.findings import SHOWN, building_group, groups_of
from zones.engineering.findings import Severity
from zones.engineering.wiring.checks import check_wiring
from zones.files.documents_needed import missing_papers
from zones.panel_settings.sheet import settings_sheets
from zones.wiring.check import in_one, shown
from zones.wiring.records import wired_panels

Kind = AcceptedMatter.Kind
NOT_MET_OR_NOT_KNOWN = (Severity.FAIL, Severity.MISSING)
OPEN_STATES = (Visit.State.PLANNED, Visit.State.UNDER_WAY)
CERTIFIED_KINDS = (VisitKind.COMMISSIONING, VisitKind.INSPECTION)
MOST_SHOWN = 200  # of one list: a page with more is read by nobody


@dataclass(frozen=True)
class Matter:
    """One thing that stands: what it is about, in words; `url` and `way` lead to where it is put right."""

    kind: str
    about: str
    words: str
    state: str
    state_word: str
    url: str = ""
    way: str = ""
    may_be_accepted: bool = True
    acceptance: AcceptedMatter | None = None

    @property
    def digest(self):
        """By it an acceptance is found again; a matter that reads otherwise has another one."""
        return hashlib.sha256("\n".join((self.kind, self.about, self.words)).encode()).hexdigest()

    @property
    def place(self):
        """What it is about as people read it: a panel that a finding on the panel itself names again stands once."""
        panel, _, subject = self.about.partition(" ")
        return subject if subject.split(" ")[0] == panel else self.about

    @property
    def stands(self):
        return self.acceptance is None


@dataclass(frozen=True)
class RecordRead:
    """What the record of a building says, whatever job or visit asks: findings, and the settings of each panel."""

    findings: tuple[Matter, ...]
    settings: tuple  # (panel, keys of its settings)


@dataclass(frozen=True)
class WhatStands:
    """The list of one job, or of one visit of it."""

    job: object
    visit: object
    matters: tuple[Matter, ...]

    @property
    def unaccepted(self):
        return [one for one in self.matters if one.stands]

    @property
    def accepted(self):
        return [one for one in self.matters if not one.stands]

    @property
    def shown(self):
        """What a page shows of what is not accepted; the rest follows once these are settled."""
        return self.unaccepted[:MOST_SHOWN]

    @property
    def can_accept(self):
        """Whether anything of what is shown may be accepted; what may not is put right."""
        return any(one.may_be_accepted for one in self.shown)

    @property
    def groups(self):
        """[(kind, its words, [matter, …]), …] of what is shown."""
        found = {}
        for one in self.shown:
            found.setdefault(one.kind, []).append(one)
        return [(kind, Kind(kind).label, rows) for kind, rows in found.items()]

    @property
    def summary(self):
        """ "wiring: 2, design check: 14": what is not accepted, counted by kind."""
        counts = Counter(one.kind for one in self.unaccepted)
        return ", ".join(f"{Kind(kind).label}: {number}" for kind, number in counts.items())

    @property
    def refusal(self):
        """The sentence why there is no certificate and no closing yet; "" when nothing stands unaccepted."""
        if not self.unaccepted:
            return ""
        return f"Put right or accepted first, each with a reason: {self.summary}."


def read_record(building, *, user=None, back="") -> RecordRead:
    """The findings and settings of a building; a fixed number of queries for any number of panels."""
    keys = [(sheet.panel, frozenset(line.key for line in sheet.lines)) for sheet in settings_sheets(building)]
    panels = {panel.position_id: panel for panel, _ in keys}
    return RecordRead((*_wiring(building, panels), *_design(building, user, back)), tuple(keys))


def what_stands(job, *, visit=None, user=None, back="", record=None) -> WhatStands:
    """Everything that stands at the end of a job, or at the end of one visit of it.

    Args:     visit: of this job; without one, the job is to be closed. user, back: for whom ways in are given, and the
              page they lead back to. record: what `read_record` said, where the caller has it and nothing has changed.
    """
    record = record or read_record(job.building, user=user, back=back)
    matters = [
        *record.findings,
        *_settings(visit or _last_visit(job), record.settings),
        *_documents(job),
        *_open_visits(job, visit),
        *_contradictions(job, visit),
    ]
    by_digest = {one.digest: one for one in reversed(matters)}  # said twice, it stands once
    standing = AcceptedMatter.objects.standing().filter(building=job.building_id, digest_sha256__in=list(by_digest))
    accepted = {one.digest_sha256: one for one in standing.select_related("accepted_by")}
    rows = [
        replace(one, acceptance=accepted.get(digest) if one.may_be_accepted else None)
        for digest, one in by_digest.items()
    ]
    return WhatStands(job, visit, tuple(reversed(rows)))


def _last_visit(job):
    return job.visits.filter(kind__in=CERTIFIED_KINDS, started_at__isnull=False).order_by("-started_at", "-pk").first()


def _wiring(building, panels):
    for wired in wired_panels(building):
        url = reverse("panel-wiring", args=[panels[int(wired.panel.key[1:])].pk])
        for finding in check_wiring(wired):
            row, about = shown(finding), f"{wired.panel.tag} {finding.subject}".strip()
            yield Matter(Kind.WIRING, about, in_one(finding), row["state"], row["word"], url, "Open the wiring")


def _design(building, user, back):
    checked = checked_building(building)
    groups = [building_group(building, checked.findings, severities=NOT_MET_OR_NOT_KNOWN, user=user, back=back)]
    for panel in checked.panels:
        groups += groups_of(panel, severities=NOT_MET_OR_NOT_KNOWN, user=user, back=back)
    for group in filter(None, groups):
        for line in group.lines:
            state, word = SHOWN[line.finding.severity]
            yield Matter(Kind.DESIGN, group.heading, line.sentence, state, word, line.url, line.word)


def _settings(visit, settings):
    """Of remedial work nothing is asked: it touches some devices only."""
    if visit is None or visit.kind not in CERTIFIED_KINDS or not settings:
        return
    answered = {}
    for panel, key in visit.settings_found.values_list("panel", "key").order_by().distinct():
        answered.setdefault(panel, set()).add(key)
    for panel, keys in settings:
        if left := len(keys - answered.get(panel.pk, set())):
            words = f"{left} of {len(keys)} settings of {panel.tag} were not compared on visit {visit.pk}."
            yield Matter(
                Kind.SETTINGS,
                f"{panel.tag}, visit {visit.pk}",
                words,
                "not_seen",
                "not compared",
                *_way_to_settings(visit, panel),
            )


def _way_to_settings(visit, panel):
    if visit.is_open_for_results:
        return reverse("visit-settings", args=[visit.pk, panel.pk]) + "?show=remaining", "Compare settings"
    return reverse("panel-settings-sheet", args=[panel.pk]), "Settings sheet"


def _documents(job):
    """Only of work that ends with a hand-over to the client."""
    if job.kind not in HANDED_OVER_KINDS:
        return
    for row in missing_papers(job.building, label_language=job.label_language):
        url = reverse("attachment-create", args=[row.owner_word, row.owner.pk])
        yield Matter(Kind.DOCUMENTS, row.about, row.words, "missing", "missing", url, "Attach it")


def _open_visits(job, visit):
    others = job.visits.filter(state__in=OPEN_STATES).order_by("planned_on", "pk")
    for other in others.exclude(pk=visit.pk) if visit else others:
        words = (
            f"The {other.get_kind_display()} planned for {other.planned_on:%-d %b %Y} is not finished. "
            "Finish it, or call it off."
        )
        # A certificate may be issued while another visit is still to come; a job is not closed before its visits.
        yield Matter(
            Kind.VISITS,
            f"Visit {other.pk}",
            words,
            other.state,
            other.get_state_display(),
            other.get_absolute_url(),
            "Open the visit",
            may_be_accepted=visit is not None,
        )


def _contradictions(job, visit):
    of_visit = Q(visit=visit) if visit else Q(visit__job=job)
    points = TestPoint.objects.filter(of_visit).contradicted().select_related("position", "visit")
    for point in points.in_walking_order():
        words = (
            f"{point.position.tag}, {point.title}: answers contradict each other. An engineer looks at both in the "
            "field form and records which is right, with the reason."
        )
        url = reverse("visit-field-position", args=[point.visit_id, point.position_id]) + f"#point-{point.pk}"
        yield Matter(
            Kind.CONTRADICTIONS,
            point.position.tag,
            words,
            "contradicted",
            "contradicted",
            url,
            "Open the test point",
            may_be_accepted=False,
        )
