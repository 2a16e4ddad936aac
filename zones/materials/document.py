"""The material list of a job, on paper: what to bring, with a box to tick."""

from django.conf import settings
from django.urls import reverse
from django.utils import timezone

from sites_registry.documents.base import TitleBlock, render_pdf


def material_list_pdf(asked, material, *, prepared_by, now):
    """A MaterialList as an A4 portrait PDF; `asked` has the job and says of what part of the building it is."""
    job, local = asked.job, timezone.localtime(now)
    title_block = TitleBlock(
        title="Material list",
        subtitle=job.number,
        number=f"{job.number}/material-list",
        building=job.building.name,
        client=job.building.client.name,
        issued_on=local.date(),
        revision=f"as of {local:%H:%M}",
        prepared_by=prepared_by.full_name,
        address=settings.PUBLIC_URL + reverse("job-materials", args=[job.number]) + asked.query,
    )
    context = {"job": job, "asked": asked, "material": material}
    return render_pdf("zones/materials/material_list_paper.html", context, title_block=title_block, created_at=now)
