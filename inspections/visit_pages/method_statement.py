"""Method statement, risk assessment and permit for a visit: drawn up from the record, completed and signed on site.

The hazards are those of the visit's checks, the facts those of the building. Nothing of it is a judgement: who is
competent checks it, adds what the place asks, and signs.
"""

from collections import defaultdict

from django.utils import timezone
from django.utils.formats import date_format

from sites_registry.documents.base import TitleBlock
from sites_registry.documents.blocks import bullets, facts, heading, new_sheet, small, strong, table, together, words
from sites_registry.documents.papers import Made
from sites_registry.documents.typeset import Column, typeset_pdf
from sites_registry.words import counted
from zones.engineering.hazards import Hazard, hazards_in
from zones.engineering.power_order import BEFORE_A_GUARD_COMES_OFF, ISOLATE, SOURCE

TAGS_SHOWN = 8
BLANK = "\N{NO-BREAK SPACE}"
RISKS = (
    Column("Hazard", 34),
    Column("Where", 48),
    Column("Precaution"),
    Column("Further measures", 62),
    Column("Left", 34),
)
STEPS = (Column("", 10), Column("Step"), Column("Hazard", 60), Column("Done", 16))
PERMIT = (Column("Permit"), Column("Name", 62), Column("Signature", 62), Column("Day, time", 42))
FOR_THE_PERMIT = (
    "Given by, for the building",
    "Taken by, who does the work",
    "Work ended, all put back in service",
    "Taken back, for the building",
)


def statement_asked_for(visit, asked):
    title_block = TitleBlock.as_of(
        asked.now,
        visit.building,
        title="Method statement and permit",
        subtitle=visit.get_kind_display(),
        number=f"method-statement-{visit.pk}",
        prepared_by=asked.by,
        address=visit.get_absolute_url(),
        landscape=True,
    )
    where, total = _hazards_of(visit)
    data = {
        "heading": "Method statement, risk assessment and permit",
        "lead": f"{visit.get_kind_display().capitalize()} on {date_format(visit.planned_on, 'j M Y')} · "
        f"{visit.building.name} · {counted(total, 'tests')}",
        "blocks": [_note(), _facts(visit), *_risks(where, total), *_method(), *_isolation(), _permit()],
    }
    content = typeset_pdf("documents/blocks_paper.typ", data, title_block=title_block, created_at=asked.now)
    return Made(content, words="method statement", mark=f"{visit.pk}_{timezone.localdate(asked.now):%Y-%m-%d}")


def _hazards_of(visit):
    """({hazard: tags of positions; "" of those where nobody has looked}, how many tests); one query."""
    where, total = defaultdict(dict), 0
    for text, tag in visit.test_points.order_by("position__tag_key", "pk").values_list("hazards", "position__tag"):
        total += 1
        for hazard in hazards_in(text) if text else ("",):
            where[hazard][tag] = None
    return where, total


def _facts(visit):
    building, to_ask = visit.building, "not recorded: ask before work begins"
    return facts(
        ("Building", ", ".join([building.name, *building.address.splitlines()])),
        ("Engineer", str(visit.engineer or to_ask)),
        ("Responsible person", building.responsible_person or to_ask),
        ("Keys and access", building.access_notes or to_ask),
        ("Roof access", building.roof_access_notes or to_ask),
        (
            "Asbestos",
            building.asbestos_notes or "not recorded: ask for the survey before anything is drilled or opened",
        ),
        ("Alarm receiving centre", building.alarm_receiving_centre or to_ask),
    )


def _risks(where, total):
    told = []
    if not total:
        told = [
            words(strong("The tests of this visit are made when it starts: until then every class of hazard counts."))
        ]
    rows = [
        [strong(f"{one.sign} {one.words}"), _tags(where.get(one), total), one.precaution, BLANK, "☐ low ☐ work stops"]
        for one in Hazard
        if one in where or not total
    ]
    if "" in where:
        told = [
            words(strong(f"Nobody has stated what can hurt at tests of {_tags(where[''], total)}: assess it on site."))
        ]
    elif not rows:
        told = [words("No test of this visit names a hazard. Look all the same.")]
    further = [[f"☐ {BLANK}", BLANK, BLANK, BLANK, "☐ low ☐ work stops"]] * 3
    return [heading("Risk assessment"), *told, table(RISKS, (None, [*rows, *further]))]


def _tags(tags, total):
    if not total:
        return "not known yet"
    shown = list(tags)
    more = f" and {len(shown) - TAGS_SHOWN} more" if len(shown) > TAGS_SHOWN else ""
    return f"{', '.join(shown[:TAGS_SHOWN])}{more}"


def _method():
    return [
        new_sheet(),
        heading("Method"),
        bullets(
            [
                "Tell the responsible person, the occupants and the alarm receiving centre before the first test.",
                "Agree what stands in for smoke control while it is out of service, and who sounds the alarm.",
                "Test in the order of the visit; a second person stays at the control while vents move.",
                "What was switched off, opened or taken out is put back and tested before leaving.",
                "Tell everybody who was told that the system is in service again, or what is not.",
            ]
        ),
    ]


def _isolation():
    rows = [
        [str(number), step.do, strong("  ".join(f"{one.sign} {one.words}" for one in step.hazards)), "☐"]
        for number, step in enumerate(ISOLATE.steps, start=1)
    ]
    return [
        heading("Isolate, where a guard must come off"),
        words(f"{BEFORE_A_GUARD_COMES_OFF} The maker's order for the panel goes before this one ({SOURCE})."),
        table(STEPS, (None, rows)),
    ]


def _permit():
    """On one sheet, which whoever gives it keeps."""
    return together(
        heading("Permit"),
        words("Valid from ____________ to ____________. Out of service meanwhile: ______________________________"),
        table(PERMIT, (None, [[[label, BLANK], "", "", ""] for label in FOR_THE_PERMIT])),
    )


def _note():
    return small(
        "Drawn up from the record, and no assessment by itself: a competent person checks it on site, adds what lacks "
        "and signs. Permits of the building, makers' instructions and the local code go before it."
    )
