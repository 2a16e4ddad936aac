"""Changes since an as-installed revision, on paper."""

from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from sites_registry.documents.base import TitleBlock, render_pdf


def changes_report_pdf(comparison, *, prepared_by, now):
    """Every change of a Comparison as an A4 portrait PDF; `now` an aware datetime."""
    building, local = comparison.building, timezone.localtime(now)
    address = reverse("as-installed-changes", args=[building.slug]) + f"?from={comparison.since.number}"
    if comparison.until:
        address += f"&to={comparison.until.number}"
    title_block = TitleBlock(
        title="As-installed changes",
        subtitle=f"revision {comparison.since.number} to {comparison.until_words}",
        number=f"{building.slug}/as-installed/{comparison.since.number}",
        building=building.name,
        client=building.client.name,
        issued_on=local.date(),
        revision=f"as of {local:%H:%M}",
        prepared_by=prepared_by.full_name,
        address=settings.PUBLIC_URL + address,
    )
    return render_pdf(
        "zones/as_installed/as_installed_changes_paper.html",
        {"comparison": comparison},
        title_block=title_block,
        created_at=now,
    )
