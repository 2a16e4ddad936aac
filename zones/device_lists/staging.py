"""An import in steps: stage the file, confirm its columns, check it chunk by chunk, apply it all or nothing."""

import hashlib
from collections import Counter

from django.conf import settings
from django.db import IntegrityError, transaction
from django.utils import timezone

from sites_registry.models import Building
from sites_registry.services.refusals import Refused
from zones.device_lists.applying import apply_plans
from zones.device_lists.checking import Checker
from zones.device_lists.mapping import data_rows, find_table, guess_columns, header_of, reasons_against
from zones.device_lists.reading import read_file
from zones.device_lists.rows import Effect
from zones.engineering.findings import counted
from zones.models import ImportRun

CHUNK = 1_000


class ImportRefused(Refused):
    """The step cannot be done."""


def stage_file(*, building, name, content, by):
    """Read an uploaded file into an ImportRun with the columns as guessed. Raises NotReadable; then nothing is kept."""
    sheets = [
        {"name": sheet.name, "rows": sheet.rows, "remarks": sheet.remarks}
        for sheet in read_file(name, content, settings.UPLOAD_LIMIT_MB)
    ]
    sheet_index, header_row, _ = find_table(sheets)
    run = ImportRun(
        building=building,
        started_by=by,
        file_name=name[-200:],
        sha256=hashlib.sha256(content).hexdigest(),
        sheets=sheets,
    )
    _point_at(run, sheet_index, header_row)
    run.full_clean(exclude=["sheets"])
    run.save()
    return run


@transaction.atomic
def choose_table(*, run, sheet_index, header_row):
    """Look for the table in another sheet or under another row; the columns are guessed anew. Raises ImportRefused."""
    run = _open_run(run)
    if not 0 <= sheet_index < len(run.sheets):
        raise ImportRefused("The file has no such sheet. Choose one of the list.")
    if not header_of(run.sheets[sheet_index], header_row):
        raise ImportRefused(f"Row {header_row} of that sheet is empty. Choose the row that holds the headings.")
    _point_at(run, sheet_index, header_row)
    run.save()
    return run


@transaction.atomic
def confirm_columns(*, run, keys):
    """Take the mapping and begin the check anew. Raises ImportRefused."""
    run = _open_run(run)
    if reasons := reasons_against(keys):
        raise ImportRefused(*reasons)
    run.column_keys = list(keys)
    run.total_rows = len(data_rows(run.sheet, run.header_row))
    if not run.total_rows:
        raise ImportRefused(f"There is no row below row {run.header_row}. Choose the row that holds the headings.")
    _begin_check(run)
    run.save()
    return run


def check_rows(*, run, limit=CHUNK):
    """Check the next rows, or all that remain when `limit` is None. Called again after the last, it does nothing."""
    if run.state != ImportRun.State.CHECKING:
        return run
    seen = run.checked_rows
    stop = run.total_rows if limit is None else min(seen + limit, run.total_rows)
    # Outside the transaction: a check of thousands of rows must not keep others from writing.
    results = [plan.as_result() for plan in _checker_of(run).plans(seen, stop)]
    with transaction.atomic():
        stored = _locked(run)
        if (stored.state, stored.checked_rows, stored.version) != (run.state, seen, run.version):
            return stored  # another tab was faster, or the columns were changed meanwhile
        stored.results = [*stored.results, *results]
        stored.checked_rows = stop
        if stop == stored.total_rows:
            stored.state = ImportRun.State.CHECKED
        stored.save(update_fields=["results", "checked_rows", "state"])
    return stored


def apply_run(*, run, by):
    """Apply all rows, or change nothing. Called twice, it applies once.

    All rows are checked again in the transaction that writes: where the outcome is not what the preview showed, the
    preview is brought up to date and nothing is written. Raises ImportRefused.
    """
    try:
        with transaction.atomic():
            run = _locked(run)
            if run.state == ImportRun.State.APPLIED:
                return run
            if run.state != ImportRun.State.CHECKED:
                raise ImportRefused("The list is not checked to its end yet. Check it first, then look at the preview.")
            # Two imports into one building wait for each other here.
            Building.objects.select_for_update().get(pk=run.building_id)
            checker = _checker_of(run)
            plans = checker.plans()
            reasons = _reasons_not_to_apply(run, plans)
            if not reasons:
                reason = f"Device list {run.file_name}"[:100]
                apply_plans(plans, checker, by=by, reason=reason)
                run.state, run.applied_at, run.applied_by = ImportRun.State.APPLIED, timezone.now(), by
            run.save()
    except IntegrityError as error:
        raise ImportRefused(
            "Somebody changed the same records at the same moment. Nothing was imported. Check the list again."
        ) from error
    if reasons:
        raise ImportRefused(*reasons)
    return run


@transaction.atomic
def check_again(*, run):
    """Back to the start of the check, against the register as it is now."""
    run = _locked(run)
    if run.state in (ImportRun.State.CHECKED, ImportRun.State.CHECKING):
        _begin_check(run)
        run.save()
    return run


@transaction.atomic
def discard_run(*, run):
    """Throw a list away that was not applied; what was applied stays on record. Raises ImportRefused."""
    run = _locked(run)
    if run.state == ImportRun.State.APPLIED:
        raise ImportRefused(f"{run.file_name} was imported and stays on record.")
    run.delete()


def counts_of(results):
    """Rows per effect, all effects present."""
    counted = Counter(result["effect"] for result in results)
    return {effect.value: counted[effect.value] for effect in Effect}


def made_by(results):
    """What comes with the rows (panels, zones, models …), each once, in the order of the file."""
    return list(dict.fromkeys(word for result in results for word in result["makes"]))


def _locked(run):
    # SQLite ignores row locks; there the immediate transaction makes the second request wait.
    return ImportRun.objects.select_for_update(of=("self",)).select_related("building").get(pk=run.pk)


def _open_run(run):
    run = _locked(run)
    if run.state == ImportRun.State.APPLIED:
        raise ImportRefused(f"{run.file_name} was imported already. Choose the file again to import it once more.")
    return run


def _point_at(run, sheet_index, header_row):
    run.sheet_index, run.header_row = sheet_index, header_row
    sheet = run.sheets[sheet_index]
    run.column_keys = guess_columns(sheet, header_row)
    run.total_rows = len(data_rows(sheet, header_row))
    run.version += 1
    run.checked_rows, run.results, run.state = 0, [], ImportRun.State.MAPPING


def _begin_check(run):
    run.version += 1
    run.checked_rows, run.results, run.state = 0, [], ImportRun.State.CHECKING


def _checker_of(run):
    return Checker(run.building, data_rows(run.sheet, run.header_row), run.column_keys)


def _reasons_not_to_apply(run, plans):
    """Sentences; where there are some, `run` holds the new preview."""
    results = [plan.as_result() for plan in plans]
    counts = counts_of(results)
    # Compared as stored: JSON has lists where Python has tuples.
    if [_compared(result) for result in results] != [_compared(result) for result in run.results]:
        run.results = results
        return [
            "The register was changed after this preview was made. Nothing was imported. The preview below is new: "
            "check it again, then import."
        ]
    if faulty := counts[Effect.FAULTY]:
        return [
            f"{counted(faulty, 'row')} with faults, so nothing was imported. Correct them in the file and choose it "
            "again: a list is imported whole or not at all."
        ]
    return []


def _compared(result):
    return {**result, "changes": [list(change) for change in result["changes"]]}
