"""The sheets of a certificate as blocks, from the frozen statement alone; the first says whether to rely on it."""

from itertools import groupby

from django.utils import timezone
from django.utils.formats import date_format

from inspections.certificates.annex import readings_by_storey
from inspections.certificates.front_sheet import front_sheet
from inspections.protocols.standards import cited_in_lines
from sites_registry.documents.blocks import (
    beside,
    box,
    bullets,
    code,
    facts,
    heading,
    new_sheet,
    runs,
    small,
    soft,
    strong,
    table,
    together,
    words,
)
from sites_registry.documents.typeset import Column
from sites_registry.words import storey_name, written_day

PARTS_OF_PLANS = {
    "inputs": "inputs operated",
    "rules": "rules seen to act",
    "pairs": "orders of two priorities tried",
    "faults": "line faults reported",
}
_OUTCOMES = ("pass", "remark", "fail", "not_accessible", "not_applicable")
_OUTCOME_HEADS = ("Pass", "Remark", "Fail", "Not acc.", "N/A")


def sheets_of(statement, *, digest, entry=None):
    """The blocks of the paper, in their order; at the end the digest of the statement, and its entry in the ledger."""
    return [
        *_first(statement),
        new_sheet(),
        *_basis(statement),
        *_system(statement),
        *_summary(statement),
        *_plans(statement),
        *_exceptions(statement),
        *_remarks(statement),
        *_defects(statement),
        *_put_right(statement),
        *_accepted(statement),
        *_departures(statement),
        *_handed_over(statement),
        *readings_by_storey(statement),
        together(
            small(_who(statement)),
            small(statement["limits"]),
            small(runs("Digest of this statement (SHA-256): ", code(digest))),
            *([small(_ledger(entry))] if entry else []),
        ),
    ]


def signature_of(statement):
    """The drawn signature of a statement ({"width", "height", "paths"}), or None."""
    return (statement.get("sign_off") or {}).get("signature")


def _first(statement):
    front = front_sheet(statement)
    measures = [strong("Until it is put right:"), bullets(front.measures)] if front.measures else []
    rows = [(label, _signed(statement, lines) if label == "Signed on site" else lines) for label, lines in front.facts]
    return [box(f"{front.mark} {front.head}".strip(), front.sentence, *measures), facts(*rows)]


def _signed(statement, lines):
    if not signature_of(statement):
        return lines
    return beside(lines, picture="signature.svg", words=f"Signature of {statement['sign_off']['name']}")


def _basis(statement):
    visit, standard = statement["visit"], statement["standard"] or "none"
    if statement.get("is_standard_cited") is False:
        standard += " (cited by no check of this visit)"
    rows = [("Scope", statement["scope"].splitlines())]
    if statement["building"]["responsible_person"]:
        rows.append(("Responsible person", statement["building"]["responsible_person"]))
    rows.append(("Standard named by the client", standard))
    if statement.get("standards"):
        rows.append(("Standards that checks cite", cited_in_lines(statement["standards"])))
    if statement["fire_strategy"]:
        rows.append(("Fire strategy", statement["fire_strategy"]))
    rows.append(("Checks", [text for text in (visit["protocol"] or "not stated", visit["basis"]) if text]))
    if visit["witness"]:
        rows.append(("Witness", visit["witness"]))
    if statement.get("supersedes"):
        rows.append(("Supersedes", f"certificate {statement['supersedes']}"))
    return [heading("What the checks rest on"), facts(*rows)]


def _system(statement):
    system = statement["system"]
    counts = ", ".join(f"{row['number']} × {row['kind']}" for row in system["counts"]) or "No devices registered"
    columns = (Column("Zone", 11, "number"), Column("Name"), Column("Storey", 34), Column("Panel", 24, "code"))
    rows = [
        [str(zone["number"]), zone["name"], str(storey_name(zone["storey"]) or "–"), zone["panel"] or "–"]
        for zone in system["zones"]
    ]
    zones = table(columns, (None, rows)) if rows else words("No zones registered.")
    return [heading("System"), words(f"{counts}."), zones]


def _summary(statement):
    columns = (
        Column("Kind of device"),
        *(Column(head, 16, "number") for head in ("Devices", "Checks", *_OUTCOME_HEADS)),
    )
    rows = [
        [
            row["kind"][:1].upper() + row["kind"][1:],
            str(row["positions"]),
            str(row["points"]),
            *(str(row[key]) for key in _OUTCOMES),
        ]
        for row in statement["tested"]
    ]
    return [heading("Results in summary"), table(columns, (None, rows))]


def _plans(statement):
    plans = statement.get("plans")
    return [heading("Cause and effect"), *map(_plan, plans)] if plans else []


def _plan(row):
    open_steps = [", ", strong(f"{row['open_steps']} not passed")] if row["open_steps"] else []
    parts = ", ".join(
        f"{done} of {of} {PARTS_OF_PLANS.get(part, PARTS_OF_PLANS['faults'])}" for part, done, of in row["parts"]
    )
    left = f" Not covered: {' '.join(row['not_covered'])}" if row["not_covered"] else ""
    steps = f": commissioning plan of {row['steps']} step{'s' * (row['steps'] != 1)}"
    return words(runs(strong(f"Panel {row['panel']}"), steps, *open_steps, f": {parts}.{left}"))


def _exceptions(statement):
    blocks = [heading("Exceptions: not tested, and why")]
    columns = (Column("Tag", 24, "code"), Column("Place"), Column("Check"), Column("Outcome", 27), Column("Reason"))
    rows = [
        [row["tag"], row["place"] or "–", row["check"], row["outcome"], row["reason"]]
        for row in statement["not_tested"]
    ]
    blocks.append(table(columns, (None, rows)) if rows else words("None: every check of this visit was carried out."))
    if tags := statement["not_tested_for_12_months"]:
        blocks.append(words(runs(strong("Not tested for 12 months, and still due:"), f" {', '.join(tags)}.")))
    return blocks


def _remarks(statement):
    rows = [[row["tag"], row["check"], row["text"]] for row in statement["remarks"]]
    columns = (Column("Tag", 24, "code"), Column("Check"), Column("Remark"))
    return [heading("Remarks"), table(columns, (None, rows))] if rows else []


def _defects(statement):
    columns = (
        Column("No.", 11, "number"),
        Column("Tag", 24, "code"),
        Column("Severity", 20),
        Column("Defect"),
        Column("Meanwhile"),
    )
    rows = [
        [str(row["number"]), row["tag"] or "–", row["severity"], row["text"], row["meanwhile"] or "–"]
        for row in statement["defects"]
    ]
    shown = table(columns, (None, rows)) if rows else words("None open on the date of issue.")
    return [heading("Defects left open"), shown]


def _put_right(statement):
    blocks = []
    for on_this_visit, rows in groupby(statement["put_right"], key=lambda row: row.get("on_this_visit", False)):
        title = "Found and put right on this visit" if on_this_visit else "Put right since the visit"
        blocks += [heading(title, level=3), bullets(_closed(row, on_this_visit) for row in rows)]
    return blocks


def _closed(row, on_this_visit):
    at = [" at ", code(row["tag"])] if row["tag"] else []
    done = f" Done: {row['done']}" if row.get("done") else ""
    if not on_this_visit:
        done = f" Closed on {written_day(row['closed_on'])} by visit {row['by_visit']}."
    return runs(f"No. {row['number']}", *at, f": {row['text']}{done}")


def _accepted(statement):
    """What the same person accepted for the same reason stands under one head, not in each row."""
    rows = statement.get("accepted")
    if not rows:
        return []
    groups = []
    for (by, on, reason), found in groupby(rows, key=lambda row: (row["by"], row["on"], row["reason"])):
        title = [f"Accepted by {by} on {written_day(on)}: ", reason]
        groups.append((title, [[row["kind"][:1].upper() + row["kind"][1:], row["words"]] for row in found]))
    return [heading("Accepted as it stands"), table((Column("Of what", 44), Column("What stands")), *groups)]


def _departures(statement):
    rows = [
        f"{row['what']} Reason: {row['why']} Agreed by {row['agreed_by']} on {written_day(row['agreed_on'])}."
        for row in statement["variations"]
    ]
    return [heading("Agreed departures"), bullets(rows)] if rows else []


def _handed_over(statement):
    rows = [f"{row['title']} ({row['kind']}, {row['language']})" for row in statement.get("handed_over") or ()]
    return [heading("Handed over"), bullets(rows)] if rows else []


def _who(statement):
    by_hand = "" if signature_of(statement) else "; nobody has signed by hand"
    return soft(f"The names of who recorded and issued are those of the register's log-ins{by_hand}.")


def _ledger(entry):
    later = f", entered later ({date_format(timezone.localtime(entry.entered_at), 'j M Y')})" if entry.is_later else ""
    fixes = f"{later}: it fixes all that was entered before it. Sealed by key "
    return runs("Ledger of the register, entry ", code(entry.short), fixes, code(entry.public_key[:16]), ".")
