"""The readings of a certificate on paper: by storey and check, what lies outside its limits before all else."""

from sites_registry.documents.blocks import code, heading, new_sheet, runs, small, soft, strong, table, words
from sites_registry.documents.typeset import Column
from sites_registry.words import counted, storey_words

ABREAST = 4  # readings of one check and one limit in a row
FEW = ABREAST - 2  # so many stand in one row with their check and limits
MARKS = {"meets": "", "no limit": "", "outside": "■ outside", "not judged": "▲ not judged"}


def readings_by_storey(statement):
    """Blocks; none where no reading was taken. Statements older than version 5 do not know the storey."""
    rows = statement.get("readings")
    if not rows:
        return []
    sources = list(dict.fromkeys(row["source"] for row in rows if row.get("source") and row["limits"]))
    number_of = {source: number for number, source in enumerate(sources, start=1)}
    blocks = [new_sheet(), heading("Readings"), words(_in_numbers(rows)), *_to_be_seen(rows)]
    by_storey = {}
    for row in rows:
        by_storey.setdefault(row.get("storey"), []).append(row)
    for storey, found in by_storey.items():
        if storey is not None:
            name = storey_words(storey) or "Storey not recorded"
            blocks.append(heading(name[:1].upper() + name[1:], level=3))
        blocks += _by_check(found, number_of)
    listed = [small(f"[{number}] {source}") for source, number in number_of.items()]
    return [*blocks, *([heading("Sources of the limits", level=3), *listed] if listed else [])]


def _in_numbers(rows):
    verdicts = {"meets": "within the limits", "outside": "outside", "no limit": "without a limit"}
    said = [
        f"{number} {verdicts.get(verdict, verdict)}"
        for verdict in ("outside", "not judged", "meets", "no limit")
        if (number := sum(row["verdict"] == verdict for row in rows))
    ]
    return f"{counted(len(rows), 'readings')}: {', '.join(said)}. What is not marked is within its limits."


def _to_be_seen(rows):
    seen = [row for row in rows if row["verdict"] == "outside" or row["note"]]
    if not seen:
        return []
    columns = (
        Column("Tag", 24, "code"),
        Column("Check"),
        Column("Reading", 22, "number"),
        Column("Limits, note", 55),
        Column("Verdict", 22),
    )
    cells = [
        [
            row["tag"],
            row["check"],
            f"{row['reading']} {row['unit']}",
            [row["limits"] or "none", *([f"▲ {row['note']}"] if row["note"] else [])],
            strong(MARKS["outside"]) if row["verdict"] == "outside" else row["verdict"],
        ]
        for row in seen
    ]
    return [heading("Outside the limits, or with a note", level=3), table(columns, (None, cells))]


def _by_check(rows, number_of):
    """One table of all checks of a storey: a head for each check and limit, the readings abreast."""
    few, groups, by_head = [], [], {}
    for row in rows:
        by_head.setdefault((row["check"], row["limits"], row.get("source")), []).append(row)
    for (check, limits, source), found in by_head.items():
        limits = f"{limits} [{number_of[source]}]" if limits and source in number_of else limits or "no limits"
        cells = [*map(_reading, found)]
        if len(found) <= FEW:
            few.append([strong(check), soft(limits), *cells, *[""] * (FEW - len(found))])
            continue
        cells += [""] * (-len(found) % ABREAST)
        title = [check, f" · {counted(len(found), 'readings')} · {limits}"]
        groups.append((title, [cells[at : at + ABREAST] for at in range(0, len(cells), ABREAST)]))
    return [table(tuple(Column("") for _ in range(ABREAST)), *([(None, few)] if few else []), *groups)]


def _reading(row):
    mark = MARKS.get(row["verdict"], row["verdict"])
    value = f"\N{EN SPACE}{row['reading']} {row['unit']}"
    return runs(code(row["tag"]), strong(f"{value} {mark}") if mark else value)
