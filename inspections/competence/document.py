"""The training record of one person: what for, since and until when, and which evidence is kept."""

from django.conf import settings
from django.utils import timezone
from django.utils.formats import date_format

from inspections.competence.needs import standing_of
from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import facts, small, soft, strong, table, words
from sites_registry.documents.typeset import Column, typeset_pdf
from sites_registry.models import Qualification

COLUMNS = (
    Column("Trained for", 40),
    Column("Training or appointment"),
    Column("Since", 26),
    Column("On this day", 40),
    Column("Evidence", 17, "number"),
)


def training_record_pdf(person, *, asked_by, now, address):
    """As PDF; two queries and that of the firm."""
    day = timezone.localdate(now)
    held = Qualification.objects.visible_to(asked_by).filter(person=person).prefetch_related("attachments")
    rows = [_row(one, day) for one in held]
    title_block = TitleBlock(
        title="Training record",
        subtitle=person.full_name,
        number=f"training-record-{person.pk}",
        building="–",
        client="–",
        issued_on=day,
        revision=f"as of {timezone.localtime(now):%-d %b %Y, %H:%M}",
        prepared_by=asked_by.full_name,
        address=settings.PUBLIC_URL + address,
    )
    data = {
        "heading": "Training record",
        "lead": person.full_name,
        "blocks": [
            facts(("Capacity", person.get_role_display()), ("Competence, as on certificates", person.competence)),
            table(COLUMNS, (None, rows)) if rows else words("Nothing is recorded."),
            small(
                "Evidence counts the files kept with a training. Which work asks which, contracts and local codes say."
            ),
        ],
    }
    return typeset_pdf("documents/blocks_paper.typ", data, title_block=title_block, created_at=now)


def _row(one, day):
    state, said = standing_of(one, day)
    files = sum(file.withdrawn_at is None for file in one.attachments.all())
    return [
        one.get_subject_display(),
        [one.title, *([soft(one.notes)] if one.notes else [])],
        date_format(one.obtained_on, "j M Y"),
        strong(f"▲ {said}") if state == "overdue" else said,
        str(files),
    ]
