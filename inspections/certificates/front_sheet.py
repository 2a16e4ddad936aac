"""The first sheet of a certificate: whether the system may be relied on, and all that this rests on, in one place.

Read from the frozen statement alone. What a statement does not hold is said ("not recorded"), so that no gap reads as
good; long lists are cut and the sheets after it have the whole.
"""

from collections import Counter
from dataclasses import dataclass

from inspections.models import AcceptedMatter
from sites_registry.words import counted, written_day

MOST_LINES = 4
SETTINGS_LEFT = AcceptedMatter.Kind.SETTINGS.label
NOT_RECORDED = "not recorded"
# A statement older than version 5 froze none of it, and nothing of today may be said in its place.
NOT_IN_THIS_VERSION = "not recorded on certificates of this date"
MARKS = {"reliable": "●", "limited": "▲", "impaired": "■"}
HEADS = {
    "reliable": "May be relied on",
    "limited": "May be relied on with limits",
    "impaired": "Impaired",
}


@dataclass(frozen=True)
class FrontSheet:
    """`state` "" where the statement has no conclusion; `facts`: [(heading, [line, …]), …], no list empty."""

    state: str
    mark: str
    head: str
    sentence: str
    measures: list
    facts: list


def front_sheet(statement):
    conclusion = statement.get("conclusion")
    facts = [
        ("Building", _building(statement)),
        ("Done", _done(statement)),
        ("Open defects", _defects(statement)),
        ("Out of service at issue", _out_of_service(statement)),
        ("Exceptions", _exceptions(statement)),
        ("Agreed departures", _departures(statement)),
        ("Next inspection due", [written_day(statement["next_due_on"])]),
        ("As installed", _as_installed(statement)),
        ("Settings compared", _settings(statement)),
        ("Instruments", _instruments(statement)),
        ("Recorded, issued", [_signed(row) for row in statement["signatures"]]),
        ("Signed on site", _signed_on_site(statement)),
        ("Firm", _firm(statement["firm"])),
    ]
    if conclusion is None:
        head, sentence = _before_conclusions(statement)
        return FrontSheet("", "", head, sentence, [], facts)
    state = conclusion["state"]
    return FrontSheet(state, MARKS[state], HEADS[state], conclusion["sentence"], conclusion["measures"], facts)


def _before_conclusions(statement):
    """A statement older than version 5 says what limits it, and nothing more is made of it now."""
    if statement["is_limited"]:
        return "Limited", f"Limited: {'; '.join(statement['limited_because'])}."
    return "No conclusion", "This certificate was issued without a conclusion in one sentence: read what was found."


def _cut(lines, whole_is):
    """The first lines, and how many more there are, and where."""
    more = len(lines) - MOST_LINES
    return lines if more <= 1 else [*lines[:MOST_LINES], f"and {more} more: {whole_is}"]


def _building(statement):
    building, client = statement["building"], statement["client"]
    place = ", ".join(filter(None, [building["name"], *building["address"].splitlines()]))
    owner = ", ".join(filter(None, [client["name"], *client["address"].splitlines()]))
    return [place, f"Client: {owner}"]


def _done(statement):
    visit = statement["visit"]
    points, devices = (sum(row[of] for row in statement["tested"]) for of in ("points", "positions"))
    outcomes = [
        f"{number} {word}"
        for key, word in (
            ("pass", "passed"),
            ("remark", "passed with a remark"),
            ("fail", "failed"),
            ("not_accessible", "not accessible"),
            ("not_applicable", "not applicable"),
            ("untested", "without an answer"),
        )
        if (number := sum(row[key] for row in statement["tested"]))
    ]
    lines = [
        f"{visit['kind'].capitalize()}, finished on {written_day(visit['finished_on'])} "
        f"(visit {visit['number']}, job {visit['job']})",
        f"{counted(points, 'checks')} of {counted(devices, 'devices')}: {', '.join(outcomes)}"
        if points
        else "Nothing was tested.",
    ]
    return [*lines, *filter(None, [visit.get("asked")])]


def _defects(statement):
    rows = [
        f"{row['severity'].capitalize()}, no. {row['number']}{_at(row['tag'])}: {row['text']}"
        + (f" Meanwhile: {row['meanwhile']}" if row["meanwhile"] else "")
        for row in statement["defects"]
    ]
    return _cut(rows, "see “Defects left open”") or ["None open on the date of issue."]


def _out_of_service(statement):
    if "out_of_service" not in statement:
        return [NOT_IN_THIS_VERSION]
    rows = [
        f"{row['kind'].capitalize()} since {written_day(row['since'])}{_at(row['place'])}: {row['what']}"
        + (f" To end by {written_day(row['planned_end'])}." if row["planned_end"] else "")
        + (f" Meanwhile: {row['meanwhile']}" if row["meanwhile"] else "")
        for row in statement["out_of_service"]
    ]
    return rows or ["Nothing, by the log book."]


def _at(tag):
    return f" at {tag}" if tag else ""


def _exceptions(statement):
    lines = []
    if rows := statement["not_tested"]:
        tags = list(dict.fromkeys(row["tag"] for row in rows))
        shown = ", ".join(tags[:6]) + (f" and {len(tags) - 6} more" if len(tags) > 6 else "")
        lines.append(f"{counted(len(rows), 'checks')} not carried out, at {shown}; why: see “Exceptions”.")
    if tags := statement["not_tested_for_12_months"]:
        lines.append(f"{counted(len(tags), 'positions')} not tested for 12 months.")
    if rows := statement.get("accepted"):
        lines.append(f"{counted(len(rows), 'matters')} accepted: see “Accepted as it stands”.")
    lines.append(f"Not included: {statement['exclusions'] or 'not stated'}")
    return lines if len(lines) > 1 else ["Every check of this visit was carried out.", *lines]


def _departures(statement):
    rows = [
        f"{row['what']} Agreed by {row['agreed_by']} on {written_day(row['agreed_on'])}."
        for row in statement["variations"]
    ]
    return _cut(rows, "see “Agreed departures”") or ["None recorded."]


def _as_installed(statement):
    if "as_installed" not in statement:
        return [NOT_IN_THIS_VERSION]
    revision = statement["as_installed"]
    if revision is None:
        return [f"Revision {NOT_RECORDED}."]
    return [f"Revision {revision['number']} of {written_day(revision['taken_on'])}, digest {revision['digest'][:12]}"]


def _settings(statement):
    if "settings_compared" not in statement:
        return [NOT_IN_THIS_VERSION]
    panels = statement["settings_compared"]
    if not panels:
        return ["No panel is recorded."]
    if len(panels) > MOST_LINES:
        lines = [f"{counted(len(panels), 'panels')}: {_answers(panels)}"]
    else:
        lines = [f"{row['panel']}: {_answers([row])}" for row in panels]
    return [*lines, *_cut(_settings_left(statement), "see “Accepted as it stands”")]


def _settings_left(statement):
    """What was not compared and accepted so; statements before version 6 do not say it here, and stay as issued."""
    if statement["statement_version"] < 6:
        return []
    return [f"▲ {row['words']}" for row in statement["accepted"] if row["kind"] == SETTINGS_LEFT]


def _answers(panels):
    counts = Counter()
    for row in panels:
        counts.update(dict(row["counts"]))
    without = sum(not row["counts"] for row in panels)
    said = [f"{number} {words}" for words, number in counts.items()]
    if without:
        said.append("not compared" if len(panels) == 1 else f"{counted(without, 'panels')} not compared")
    return ", ".join(said)


def _instruments(statement):
    typed = statement["visit"].get("instruments")
    if "instruments" not in statement:
        return typed.splitlines() if typed else [NOT_IN_THIS_VERSION]
    rows = [
        f"{row['name']}{', serial ' + row['serial'] if row['serial'] else ''}: {row['words']}"
        for row in statement["instruments"]
    ]
    # The visit's own line lists those chosen too; what was typed follows them.
    typed_lines = typed.splitlines()[len(rows) :] if typed else []
    lines = [*rows, *(f"{line} (as entered by hand)" for line in typed_lines), *statement["instruments_lacking"]]
    return lines or ["None recorded."]


def _signed(row):
    return (
        f"{row['name']}, {row['capacity']}, {written_day(row['on'])}, for {row['for']}. "
        f"Competence: {row['competence'] or 'not stated'}"
    )


def _signed_on_site(statement):
    if "sign_off" not in statement:
        return [NOT_IN_THIS_VERSION]
    done = statement["sign_off"]
    if done is None:
        return [f"Signature {NOT_RECORDED}."]
    if done["how"] == "nobody":
        return [f"Nobody signed: {done['why_nobody']}"]
    how = "signed on the engineer's phone" if done["how"] == "glass" else "signed on paper, which the firm keeps"
    lines = [f"{done['name']}, {how}, {written_day(done['taken_on'])}, before {done['taken_by']}"]
    return [*lines, *([f"Notice of impairment handed over: {done['notice_given']}"] if done["notice_given"] else [])]


def _firm(firm):
    place = ", ".join(filter(None, [firm["name"], *firm["address"].splitlines(), firm["registration"]]))
    return [place, f"Telephone: {firm['phone'] or NOT_RECORDED} · E-mail: {firm['email'] or NOT_RECORDED}"]
