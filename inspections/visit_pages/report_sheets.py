"""The visit report on paper, as blocks: what was found, what is open, then the record of every test."""

from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import date_format

from inspections.models import Outcome
from inspections.protocols.standards import cited_in_lines
from sites_registry.documents.blocks import (
    beside,
    bullets,
    code,
    facts,
    figures,
    heading,
    new_sheet,
    plot,
    runs,
    strong,
    table,
    words,
)
from sites_registry.documents.signatures import svg_of
from sites_registry.documents.typeset import Column
from sites_registry.words import counted, plain_number
from zones.engineering.hazards import Hazard

RECORD_COLUMNS = (
    Column("Tag", 17, "code"),
    Column("Test", 40),
    Column("Expected"),
    Column("Found", 40),
    Column("Reading", 21, "number"),
    Column("Unit", 11),
    Column("Limit", 21),
    Column("Last time", 17, "number"),
    Column("By", 21),
    Column("At", 27),
)
DASH = "–"


def lead_of(visit):
    parts = [visit.building.name, visit.get_kind_display(), _day(visit.planned_on)]
    if visit.state != "finished":
        parts.append(strong(f"{visit.get_state_display()}, not finished"))
    return runs(*[piece for part in parts for piece in (" · ", part)][1:])


def sheets_of(context):
    """(blocks, pictures) of what `report.py` read."""
    pictures = dict(context["photo_sheet"].pictures)
    pictures |= {f"plot-{number}.svg": _svg_of(one) for number, one in enumerate(context["plots"])}
    if (sign_off := context["sign_off"]) and sign_off.signature:
        pictures["signature.svg"] = svg_of(sign_off.signature)
    blocks = [
        _facts(context),
        *_defects(context["defects"]),
        *_contradictions(context["contradictions"]),
        *_closed(context["closed"]),
        *_not_reached(context["not_reached"]),
        *_settings(context["compared"]),
        *_drifting(context),
        *_variations(context["variations"]),
        *_record(context["rows"]),
        *_photographs(context["photo_sheet"]),
    ]
    return blocks, pictures


def _svg_of(drawn):
    return render_to_string("components/plots/plot.html", {"plot": drawn, "print": True}).encode()


def _day(moment):
    if hasattr(moment, "hour"):
        moment = timezone.localtime(moment)
    return date_format(moment, "j M Y") if moment else DASH


def _moment(moment):
    return date_format(timezone.localtime(moment), "j M Y, H:i") if moment else DASH


def _facts(context):
    visit, standards = context["visit"], context["standards"]
    basis = f" ({visit.protocol.basis})" if visit.protocol and visit.protocol.basis else ""
    rows = [
        ("Carried out by", str(visit.engineer or DASH)),
        ("Started, finished", f"{_moment(visit.started_at)} to {_moment(visit.finished_at)}"),
        ("Protocol", f"{visit.protocol or DASH}{basis}"),
        *([("Asked", context["asked"])] if context["asked"] else []),
        ("Standards that checks cite", cited_in_lines(standards)),
        ("Witness", visit.witness or DASH),
        *([("Signed off", _signed(context["sign_off"]))] if context["sign_off"] else []),
        ("Instruments", context["instruments"].splitlines() or DASH),
        *([("Competence", [sentence for _, sentence in context["competence"]])] if context["competence"] else []),
        ("In numbers", _in_numbers(context)),
    ]
    return facts(*rows)


def _signed(sign_off):
    if sign_off.how == "nobody":
        lines = [f"Nobody signed: {sign_off.why_nobody}"]
    else:
        how = "signed on the engineer's phone" if sign_off.how == "glass" else sign_off.get_how_display()
        lines = [f"{sign_off.name}, {how}, {_moment(sign_off.taken_at)}, before {sign_off.taken_by}"]
    if sign_off.notice_given:
        lines.append(f"Notice of impairment handed over: {sign_off.notice_given}")
    if not sign_off.signature:
        return lines
    return beside(lines, picture="signature.svg", words=f"Signature of {sign_off.name}")


def _in_numbers(context):
    left = context["without_outcome"]
    without = f", {left} without an outcome" if left else ""
    return (
        f"{counted(len(context['rows']), 'test points')}: {context['tested']} tested, {context['fails']} failed, "
        f"{len(context['not_reached'])} not accessible or not applicable{without}"
    )


def _defects(defects):
    columns = (
        Column("Number", 20),
        Column("Tag", 24, "code"),
        Column("Severity", 20),
        Column("What is wrong"),
        Column("Meanwhile"),
        Column("Who was told", 40),
        Column("State", 20),
    )
    rows = [
        [
            str(defect.pk),
            defect.position.tag if defect.position else DASH,
            strong(defect.get_severity_display()),
            defect.description,
            defect.interim_measure or DASH,
            f"{defect.told_to or DASH}{f', {_moment(defect.told_at)}' if defect.told_at else ''}",
            _state(defect),
        ]
        for defect in defects
    ]
    return [heading("Defects found on this visit"), table(columns, (None, rows)) if rows else words("None.")]


def _state(defect):
    if defect.was_put_right_where_found:
        return f"{defect.state_words}{f': {defect.closing_note}' if defect.closing_note else ''}"
    return defect.state_words if defect.is_open else f"{defect.state_words} {_day(defect.closed_at)}"


def _contradictions(contradictions):
    if not contradictions:
        return []
    why = (
        "Until somebody who has seen both answers records which is right, and why, a fail counts, or else the answer "
        "seen last."
    )
    rows = []
    for point, results in contradictions:
        said = [piece for result in results for piece in ("; ", *_answer(point, result))][1:]
        rows.append(runs(code(point.position.tag), f" {point.title}: ", *said))
    return [heading("Answers that contradict each other"), words(why), bullets(rows)]


def _answer(point, result):
    reading = "" if result.reading is None else f" {plain_number(result.reading)} {point.unit}"
    clock = f" ({result.clock_words})" if result.clock_words else ""
    return strong(result.get_outcome_display()), f"{reading}, {result.recorded_by}, {_moment(result.seen_at)}{clock}"


def _closed(defects):
    columns = (
        Column("Number", 20),
        Column("Tag", 24, "code"),
        Column("Found", 22),
        Column("What was wrong"),
        Column("What was done"),
    )
    rows = [
        [
            str(defect.pk),
            defect.position.tag if defect.position else DASH,
            _day(defect.found_at),
            defect.description,
            defect.closing_note or DASH,
        ]
        for defect in defects
    ]
    return [heading("Defects closed by this visit"), table(columns, (None, rows))] if rows else []


def _not_reached(found):
    columns = (Column("Tag", 24, "code"), Column("Place"), Column("Test"), Column("Why"), Column("Class", 40))
    rows = [[row.tag, row.place or DASH, row.test, row.found, row.missed] for row in found]
    if not rows:
        return []
    title = heading("Not accessible or not applicable")
    return [title, words("What was not accessible stays due."), table(columns, (None, rows))]


def _settings(compared):
    blocks = [heading("Settings compared with those as left")] if compared else []
    for one in compared:
        said = ", ".join(f"{number} {answer}" for _, answer, number in one.counts)
        blocks.append(words(f"{one.panel.tag}: {said}."))
        columns = (
            Column(f"Setting of {one.panel.tag}", 55),
            Column("As left"),
            Column("Found"),
            Column("Answer", 40),
            Column("Defect", 20),
        )
        rows = [
            [
                entry.name,
                entry.left_words,
                strong(entry.found_words) if entry.is_difference else f"{entry.found_words}{entry.reason}",
                entry.get_answer_display(),
                str(entry.defect_id or DASH),
            ]
            for entry in one.notable
        ]
        blocks += [table(columns, (None, rows))] if rows else []
    return blocks


def _drifting(context):
    drifting, plots = context["drifting"], context["plots"]
    if not drifting:
        return []
    columns = (
        Column("Tag", 24, "code"),
        Column("Test"),
        Column("Reading", 22),
        Column("Limit", 55),
        Column("Change a year", 24),
        Column("Reaches it about", 24),
        Column("How sure", 40),
        Column("Readings", 20),
    )
    rows = [
        [
            one.position.tag,
            one.newest.title,
            f"{plain_number(one.newest.latest_result.reading)} {one.newest.unit}",
            str(one.limits),
            str(one.change_a_year),
            strong(one.reached_about),
            str(one.sure_words),
            str(one.trend.count),
        ]
        for one in drifting
    ]
    why = (
        "By the readings of this and earlier visits they reach it before the inspection after next. Estimates: see the "
        "interval beside each."
    )
    blocks = [heading("Readings that drift to their limit"), words(why), table(columns, (None, rows))]
    blocks += [plot(f"plot-{number}.svg", one) for number, one in enumerate(plots)]
    if len(drifting) > len(plots):
        blocks.append(words(f"The first {len(plots)} are drawn; each position's page has the others."))
    return blocks


def _variations(variations):
    rows = [f"{one.what} ({one.why}), agreed by {one.agreed_by} on {_day(one.agreed_on)}" for one in variations]
    return [heading("Variations that stand"), bullets(rows)] if rows else []


def _record(rows):
    legend = bullets(runs(strong(f"{one.sign} {one.words}"), f": {one.precaution}") for one in Hazard)
    record = table(RECORD_COLUMNS, (None, [_row(row) for row in rows]))
    return [new_sheet(), heading("Test record"), legend, record]


def _row(row):
    is_grave = row.outcome in (Outcome.FAIL, "untested")
    judged = [{"look": "small", "text": f"▲ {row.judged}"}] if row.judged else []
    first = [{"look": "small", "text": f"first value {plain_number(row.first)}, {_day(row.first_on)}"}]
    hazards = [strong(" ".join(f"{one.sign} {one.words}" for one in row.hazards))] if row.hazards else []
    return [
        row.tag,
        [row.test, *hazards],
        row.expected,
        [strong(row.found) if is_grave else row.found, *judged],
        plain_number(row.reading),
        row.unit or DASH,
        [row.limit or DASH, *(first if row.first is not None else [])],
        plain_number(row.before),
        row.by or DASH,
        [_moment(row.at), *([row.clock] if row.clock else [])],
    ]


def _photographs(sheet):
    if not (sheet.photos or sheet.lost):
        return []
    shown = figures(*((f"photo-{photo.pk}", photo.alt, _caption(photo)) for photo in sheet.photos))
    said = []
    if sheet.left_out:
        said.append(f"{sheet.left_out} more stand{'s' * (sheet.left_out == 1)} on the page of this visit.")
    if sheet.lost:
        missing = "its file is" if sheet.lost == 1 else "their files are"
        said.append(f"{sheet.lost} cannot be printed: {missing} missing here.")
    return [new_sheet(), heading("Photographs"), shown, *map(words, said)]


def _caption(photo):
    stage = f", {photo.get_stage_display()}" if photo.stage else ""
    at = photo.at_position
    of = runs(*([code(at.tag), ", " if photo.of_words else ""] if at else []), photo.of_words or "")
    place = [f"at {photo.latitude}, {photo.longitude}"] if photo.latitude is not None else []
    when = _moment(photo.taken_at) if photo.taken_at else "time not known"
    caption = [photo.caption] if photo.caption else []
    return [runs(strong(str(photo)), stage), of, *caption, f"{when}, {photo.taken_by}", *place]
