"""Changes since an as-installed revision, on paper."""

from dataclasses import dataclass

from django.urls import reverse

from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made, NothingToShow
from sites_registry.models import Building
from zones.as_installed.changes import counted
from zones.as_installed.revisions import changes_since
from zones.models import AsInstalledRevision


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


def changes_report_pdf(comparison, *, prepared_by, now):
    """Every change of a Comparison as an A4 portrait PDF; `now` an aware datetime."""
    building = comparison.building
    address = reverse("as-installed-changes", args=[building.slug]) + f"?from={comparison.since.number}"
    if comparison.until:
        address += f"&to={comparison.until.number}"
    title_block = TitleBlock.as_of(
        now,
        building,
        title="As-installed changes",
        subtitle=f"revision {comparison.since.number} to {comparison.until_words}",
        number=f"{building.slug}/as-installed/{comparison.since.number}",
        prepared_by=prepared_by,
        address=address,
    )
    return render_pdf(
        "zones/as_installed/as_installed_changes_paper.html",
        {"comparison": comparison},
        title_block=title_block,
        created_at=now,
    )


def comparison_of(building, query):
    """What the address asks for: `?from=2&to=3`; without `from` the latest revision, without `to` now.

    Returns:  a Comparison, or None where no revision was taken yet. Raises NothingToShow.
    """
    revisions = AsInstalledRevision.objects.filter(building=building).select_related("job", "taken_by", "building")
    number, last = _number(query, "from"), _number(query, "to")
    since = revisions.filter(number=number).first() if number else revisions.order_by("-number").first()
    until = revisions.filter(number=last).first() if last else None
    if (number and not since) or (last and not until):
        raise NothingToShow
    if since and until and until.number < since.number:
        since, until = until, since
    return since and Comparison(building, since, until, changes_since(since, until=until))


def _number(query, name):
    text = query.get(name, "")
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise NothingToShow
    return int(text)


def changes_asked_for(building, asked):
    comparison = comparison_of(building, asked.query)
    if comparison is None:
        raise NothingToShow
    content = changes_report_pdf(comparison, prepared_by=asked.by, now=asked.now)
    return Made(content, words=f"changes since revision {comparison.since.number}")
