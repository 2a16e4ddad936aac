"""The sheet of a defect: what is wrong, what holds until it is put right, how it was closed, its photographs."""

from django.utils import timezone

from inspections.models import Photo
from inspections.photo_sheets import photo_sheet
from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made


def sheet_asked_for(defect, asked):
    photos = photo_sheet(list(Photo.objects.of_defect(defect).standing().for_list().in_walking_order()))
    title_block = TitleBlock.as_of(
        asked.now,
        defect.building,
        title="Defect",
        subtitle=defect.get_severity_display(),
        number=f"defect-{defect.pk}",
        prepared_by=asked.by,
        address=defect.get_absolute_url(),
    )
    content = render_pdf(
        "inspections/defects/defect_paper.html",
        {"defect": defect, "photo_sheet": photos},
        title_block=title_block,
        created_at=asked.now,
        pictures=photos.pictures,
    )
    return Made(content, words="defect", mark=f"{defect.pk}_{timezone.localdate(asked.now):%Y-%m-%d}")
