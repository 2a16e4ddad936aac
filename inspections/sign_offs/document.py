"""The notice of impaired points that is handed over before leaving: what does not work, and what holds meanwhile."""

from django.utils import timezone

from inspections.models import SignOff
from inspections.sign_offs.standing import stood_of
from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made, NothingToShow
from sites_registry.models import Firm


def notice_asked_for(visit, asked):
    impaired = stood_of(visit).impaired
    if not impaired:
        raise NothingToShow
    firm = Firm.current()
    title_block = TitleBlock.as_of(
        asked.now,
        visit.building,
        title="Notice of impairment",
        subtitle=visit.get_kind_display(),
        number=f"notice-{visit.pk}",
        prepared_by=asked.by,
        address=visit.get_absolute_url(),
        firm=firm,
    )
    content = render_pdf(
        "inspections/sign_offs/notice_paper.html",
        {
            "visit": visit,
            "building": visit.building,
            "impaired": impaired,
            "firm": firm,
            "sign_off": SignOff.objects.filter(visit=visit).first(),
        },
        title_block=title_block,
        created_at=asked.now,
    )
    return Made(content, words="notice of impairment", mark=f"{visit.pk}_{timezone.localdate(asked.now):%Y-%m-%d}")
