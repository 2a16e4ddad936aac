"""Device lists as files, and the way from a file to its preview."""

import io

from openpyxl import Workbook

from tests import builders
from zones.device_lists import staging

HEADINGS = ("Tag", "Kind", "Panel", "Zone no.", "Zone name", "Storey", "Place", "Maker", "Model", "Serial", "Fitted on")


def csv_of(*rows, headings=HEADINGS, separator=",", encoding="utf-8"):
    lines = [separator.join(map(str, row)) for row in (headings, *rows)]
    return "\r\n".join(lines).encode(encoding)


def xlsx_of(*rows, headings=HEADINGS, above=()):
    workbook = Workbook()
    for row in (*above, headings, *rows):
        workbook.active.append(row)
    return bytes_of(workbook)


def bytes_of(workbook):
    file = io.BytesIO()
    workbook.save(file)
    return file.getvalue()


def stage(building, content, name="list.csv", by=None):
    return staging.stage_file(building=building, name=name, content=content, by=by or builders.make_person())


def check(building, content, name="list.csv", by=None):
    """A run checked to its end, with its columns as guessed."""
    run = stage(building, content, name, by)
    run = staging.confirm_columns(run=run, keys=run.column_keys)
    return staging.check_rows(run=run, limit=None)


def bring_in(building, content, name="list.csv", by=None):
    """Check and apply; the counts of what was done."""
    by = by or builders.make_person()
    run = check(building, content, name, by)
    staging.apply_run(run=run, by=by)
    return effects(run)


def effects(run):
    """Counts without those that are zero."""
    return {effect: count for effect, count in staging.counts_of(run.results).items() if count}


def faults(run):
    """All faults as sentences."""
    return [f"Row {result['row']}, {heading}: {text}" for result in run.results for heading, text in result["faults"]]
