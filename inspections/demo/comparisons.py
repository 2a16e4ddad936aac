"""Demo: settings compared on visits, with differences, and identical units told apart, by the screens' services."""

from inspections.settings_found.found import (
    SettingAnswer,
    mark_of_lines,
    record_rest_as_left,
    record_settings,
    rest_of,
    take_over_setting,
)
from zones.panel_settings.sheet import settings_sheet
from zones.positions.identical_units import fittings_to_tell_apart, with_confirmation
from zones.positions.place_confirmations import confirm_by_operating, confirm_by_serial

# What differs, by the story of a building: setting, found, severity.
DIFFERENCES = {
    "open_minor": ("Rain closes after", "60", "minor"),
    "open_degraded": ("Run time of circuit 1", "60", "degraded"),
}
COMPARED = 20  # the first settings of each panel; the rest stays for another visit
SEEN_EVERY = 8  # every so many an engineer could not get at


def compare_settings(visit, story, engineer, moment):
    """Compare the first settings of each panel on a visit under way; on its first panel one differs by the story."""
    difference = next((DIFFERENCES[word] for word in story if word in DIFFERENCES), None)
    for panel in visit.building.panels.select_related("building", "position").order_by("pk"):
        lines = [line for line in settings_sheet(panel).lines if line.is_known][:COMPARED]
        answers = [_answer(line, number, difference) for number, line in enumerate(lines, start=1)]
        record_settings(visit=visit, panel=panel, answers=answers, recorded_by=engineer, recorded_at=moment)
        difference = None


def record_all_as_left(visit, engineer, moment):
    """Every setting of each panel seen and left as recorded, in one act each."""
    for panel in visit.building.panels.select_related("building", "position"):
        seen = mark_of_lines(rest_of(visit, panel, settings_sheet(panel).lines))
        record_rest_as_left(visit=visit, panel=panel, seen=seen, recorded_by=engineer, recorded_at=moment)


def _answer(line, number, difference):
    if difference and line.full_name == difference[0]:
        return SettingAnswer(line, "differs", found=difference[1], severity=difference[2])
    if number % SEEN_EVERY == 0:
        return SettingAnswer(line, "not_seen", reason="Menu needs level 4; not opened.", severity="")
    return SettingAnswer(line, "as_left", severity="")


def correct_the_record(visit, by):
    """The office finds in its papers that the found value was right."""
    for entry in visit.settings_found.differing().filter(name="Rain closes after"):
        take_over_setting(entry=entry, taken_by=by)


def tell_identical_units_apart(building, engineer, share):
    """Prove the first `share` of each model in walking order, every third by operating it."""
    by_model = {}
    for fitting in with_confirmation(fittings_to_tell_apart(building)):
        by_model.setdefault(fitting.unit.product_model_id, []).append(fitting)
    for fittings in by_model.values():
        for number, fitting in enumerate(fittings[: int(len(fittings) * share)]):
            if number % 3 == 2:
                note = f"{fitting.position.tag} operated at the panel, nothing else moved or reported"
                confirm_by_operating(position=fitting.position, note=note, by=engineer)
            else:
                confirm_by_serial(position=fitting.position, serial=fitting.unit.serial, by=engineer)
