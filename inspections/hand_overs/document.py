"""The papers of a hand-over: which there are, how each is composed, and the printed list of what was handed over."""

from django.http import QueryDict
from django.utils import timezone

from inspections.models import Visit
from sites_registry.documents.base import TitleBlock, render_pdf
from sites_registry.documents.papers import Made, PaperRequest, papers

# In the order in which a hand-over lists them; the papers of one kind of record stand together.
SUBJECTS = ("visit", "panel", "building", "job")


def papers_to_compose(hand_over):
    """[(key with the record's own key, title, folder, words of the file name), …] of a hand-over; two queries."""
    building = hand_over.building
    visits = Visit.objects.finished().filter(job=hand_over.job).order_by("finished_at", "pk")
    panels = building.panels.select_related("position").order_by("position__tag_key")
    records = {"visit": list(visits), "panel": list(panels), "building": [building], "job": [hand_over.job]}
    return [
        (f"{paper.key}:{record.pk}", *_named(paper, record))
        for subject in SUBJECTS
        for paper in papers().values()
        if paper.folder and paper.of.word == subject
        for record in records[subject]
    ]


def _named(paper, record):
    """Title, folder, words of the file name."""
    match paper.of.word:
        case "visit":
            return f"{paper.title}, {record.get_kind_display()}", paper.folder, f"{paper.words} {record.pk}"
        case "panel":
            return f"{paper.title} {record.tag}", paper.folder, f"{paper.title} {record.tag}"
        case "job":
            return paper.title, paper.folder, paper.words
    return paper.title, paper.folder, paper.title


def compose_paper(hand_over, key):
    """The bytes of the paper of this key as the records stand now, or None where there is nothing to show."""
    key, _, pk = key.partition(":")
    paper, building = papers()[key], hand_over.building
    match paper.of.word:
        case "visit":
            visits = Visit.objects.filter(building=building).select_related("building__client", "protocol", "engineer")
            record = visits.get(pk=pk)
        case "panel":
            record = building.panels.select_related("building__client", "position").get(pk=pk)
        case "job":
            record = hand_over.job
        case _:
            record = building
    return paper.make_for_hand_over(
        record, PaperRequest(by=hand_over.handed_over_by, now=timezone.now(), query=QueryDict())
    )


def list_asked_for(hand_over, asked):
    day = f"{timezone.localtime(hand_over.handed_over_at):%Y-%m-%d}"
    return Made(hand_over_list_pdf(hand_over), words=f"hand-over list {hand_over.job.number}", mark=day)


def hand_over_list_pdf(hand_over):
    """What was handed over, with digests, and what was not there; only the receipt is added later."""
    title_block = TitleBlock.as_of(
        hand_over.handed_over_at,
        hand_over.building,
        title="Hand-over list",
        subtitle=hand_over.job.number,
        number=f"hand-over-{hand_over.pk}",
        prepared_by=hand_over.handed_over_by,
        address=hand_over.get_absolute_url(),
    )
    context = {"hand_over": hand_over, "building": hand_over.building, "files": list(hand_over.files.put_together())}
    return render_pdf(
        "inspections/hand_overs/hand_over_list_paper.html",
        context,
        title_block=title_block,
        created_at=hand_over.handed_over_at,
    )
