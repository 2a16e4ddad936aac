"""What is mutated, and which tests are asked."""

import re
from pathlib import Path

ENGINEERING, SERVICES = "engineering", "services"
# Folders and files of which none is a service, whatever it writes: what shows, what takes in, what is true.
NO_SERVICES = {
    *("views", "forms", "pages", "document", "visit_pages", "management"),
    *("models", "migrations", "engineering", "demo"),
}
WRITES = re.compile(r"transaction\.atomic|\.save\(|objects\.create\(|bulk_(?:create|update)|\.delete\(\)")
TESTS = {
    # Kinds are asked by a walk of each through the register; readings are compared with the record, in one place.
    ENGINEERING: [
        *("tests/zones/engineering", "tests/kinds/test_table.py", "tests/kinds/test_walk.py"),
        "tests/inspections/test_points/test_readings_against_record.py",
    ],
    SERVICES: [
        *("tests/zones", "tests/inspections"),
        *(f"tests/sites_registry/test_{name}.py" for name in ("buildings", "invitations", "jobs", "people")),
    ],
}
# They walk the whole demo, every calculator or every drawing, and ask no service that others do not.
TESTS_LEFT_OUT = (
    "tests/inspections/demo",
    "tests/zones/calculators",
    "tests/zones/drawings",
    "tests/zones/labels",
    "tests/zones/plots",
)


def files_of(part):
    """All files of the engineering; of the other rooms those that write."""
    if part == ENGINEERING:
        return sorted(Path("zones/engineering").rglob("*.py"))
    files = [path for app in ("zones", "inspections", "sites_registry") for path in Path(app).glob("*/**/*.py")]
    return sorted(
        path for path in files if not NO_SERVICES & {*path.parts, path.stem} and WRITES.search(path.read_text())
    )


def room_of(path):
    """ "zones/wiring" of zones/wiring/edits.py; a folder of the engineering is a room too."""
    return str(Path(path).parent)


def tests_of(part):
    paths = []
    for place in map(Path, TESTS[part]):
        found = sorted(place.rglob("test_*.py")) if place.is_dir() else [place]
        paths += [str(path) for path in found if not str(path).startswith(_left_out(part))]
    return paths


def _left_out(part):
    return TESTS_LEFT_OUT if part == ENGINEERING else (*TESTS_LEFT_OUT, "tests/zones/engineering")
