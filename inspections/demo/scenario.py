"""The invented scenario of the demo: a firm in the town of Skellmere, its clients, people and buildings.

Nothing here exists. Dates are counted back from the day the demo is loaded, so that something is always overdue.
"""

from dataclasses import dataclass, field

FIRM = {
    "name": "Skellmere Vent Services",
    "address": "Unit 3, Tallow Yard\nSkellmere",
    "phone": "0000 555 010",
    "email": "office@skellmere.example",
    "registration": "Entry 0417 in the Skellmere list of smoke control firms (invented)",
}
PASSWORD = "open-the-vents-2026"  # noqa: S105 - published on purpose, for the demo only

PEOPLE = (  # email name, name, role, competence
    ("office", "Orla Finch", "office", "Authorised to issue for the firm, 2021"),
    ("planner", "Tobias Rell", "office", ""),
    (
        "engineer",
        "Edwin Marsh",
        "engineer",
        "Smoke control inspection and maintenance, level 3, 2024 (invented scheme)",
    ),
    ("engineer2", "Nadia Corve", "engineer", "Smoke control commissioning, level 4, 2023 (invented scheme)"),
    ("manager", "Mara Hollin", "manager", ""),
    ("manager2", "Silas Wray", "manager", ""),
    ("manager3", "Greta Onslow", "manager", ""),
)

CLIENTS = {  # name: (address, contact, function)
    "Quay Homes Association": ("12 Capstan Row\nSkellmere", "Mara Hollin", "head of estates"),
    "Skellmere Schools Trust": ("School Lane 1\nSkellmere", "Silas Wray", "site manager"),
    "Ropewalk Estates": ("The Old Ropewalk\nSkellmere", "Greta Onslow", "facilities manager"),
    "Millbeck Care": ("Beck Side 4\nUpper Skell", "Ruth Amble", "home manager"),
    "Harbour Works": ("Slipway Road\nSkellmere", "Jonas Teal", "works manager"),
    "Borough of Skellmere": ("Market Hall\nSkellmere", "Petra Lisle", "property officer"),
}


@dataclass(frozen=True)
class Zone:
    """One smoke zone to build: storeys it spans and how many devices it gets."""

    name: str
    storey: str
    vents: int
    detectors: int
    call_points: int
    switches: int = 1
    required_m2: str = "1.5"
    leaf: str = "top_hung"
    lockout: str = ""


@dataclass(frozen=True)
class Panel:
    place: str
    storey: str
    zones: tuple[Zone, ...]
    drive: str = "polarity"


@dataclass(frozen=True)
class Site:
    """One building of the demo and its story."""

    name: str
    client: str
    use: str
    storeys: int
    height_m: str
    managers: tuple[str, ...]
    panels: tuple[Panel, ...]
    commissioned_months_ago: int = 40
    inspections_months_ago: tuple[int, ...] = (28, 16, 4)
    engineer: str = "engineer"
    story: tuple[str, ...] = field(default=())
    access: str = "Key from the caretaker's office, weekdays 7.30 to 16.00."
    interval_months: int = 12
    country: str = "GB-ENG"


def stair(name, storeys, vents=2, lockout=""):
    return Zone(name, f"0–{storeys - 1}", vents, storeys, max(2, storeys // 2), 1, "1.0", "top_hung", lockout)


def lobby_zones(first, last, lockout):
    return tuple(Zone(f"Lobby {n}", str(n), 1, 2, 1, 0, "1.5", "side_hung", lockout) for n in range(first, last + 1))


def hall_zones(count, vents, detectors):
    return tuple(
        Zone(f"Hall, bay {n}", "0", vents, detectors, 2, 1, str(round(vents * 1.1, 1)), "dome")
        for n in range(1, count + 1)
    )


# The small job that is built as it stands, not from counts: zones by name and storeys.
SMALL_JOB = {
    "zones": (("Front stair", "0–2"), ("Back stair", "0–2")),
    "panel_place": "cupboard under the front stair",
    "top_storey": "2",
    "positions": 13,
}

SITES = (
    Site(
        "Alder House",
        "Quay Homes Association",
        "flats",
        3,
        "8.4",
        ("manager",),
        (),
        commissioned_months_ago=5,
        inspections_months_ago=(),
        story=("small_job",),
        access="Key box beside the entrance.",
    ),
    Site(
        "Ropewalk Hall",
        "Ropewalk Estates",
        "assembly",
        3,
        "9.5",
        ("manager3",),
        (
            Panel(
                "plant room, beside the main board",
                "0",
                (
                    stair("Main stair", 3),
                    Zone("Foyer", "0", 4, 4, 2),
                    Zone("Great hall", "0", 8, 6, 4, 2, "8.8", "dome"),
                ),
                "addressed",
            ),
            Panel("gallery store", "2", (stair("Gallery stair", 3), Zone("Gallery", "2", 4, 4, 2))),
        ),
        story=("closed_defect", "swap", "slowing"),
    ),
    Site(
        "Ferry Lane School",
        "Skellmere Schools Trust",
        "school",
        3,
        "9.0",
        ("manager2",),
        (
            Panel(
                "caretaker's room",
                "0",
                (stair("North stair", 3), stair("South stair", 3), Zone("Atrium", "0–2", 6, 6, 3, 2, "6.0", "louvre")),
            ),
            Panel("sports hall store", "0", hall_zones(2, 4, 4)),
        ),
        story=("open_minor",),
    ),
    Site(
        "Larch Tower",
        "Quay Homes Association",
        "flats",
        18,
        "50.4",
        ("manager",),
        (
            Panel(
                "riser cupboard, ground floor", "0", (stair("Stair", 18, 2), *lobby_zones(1, 5, "shaft A")), "addressed"
            ),
            Panel("riser cupboard, sixth floor", "6", lobby_zones(6, 17, "shaft A"), "addressed"),
        ),
        inspections_months_ago=(27, 15, 3),
        story=("impaired", "not_accessible"),
        access="Concierge; lift key for the roof.",
    ),
    Site(
        "Harbour Court",
        "Ropewalk Estates",
        "office",
        6,
        "21.0",
        ("manager3",),
        (
            Panel(
                "basement plant room",
                "−1",
                (Zone("Atrium roof", "5", 12, 8, 4, 2, "13.0", "dome"), stair("East stair", 6)),
            ),
            Panel("fifth floor riser", "5", (stair("West stair", 6), Zone("Link", "2", 3, 3, 2))),
            Panel(
                "second floor riser", "2", (Zone("Offices south", "2", 4, 4, 2), Zone("Offices north", "2", 4, 4, 2))
            ),
        ),
        story=("superseded_again",),
    ),
    Site(
        "Millbeck Foundry",
        "Harbour Works",
        "industry",
        1,
        "11.0",
        (),
        (
            Panel("foreman's office", "0", hall_zones(4, 6, 4)),
            Panel("east gable", "0", hall_zones(3, 6, 4)),
            Panel("west gable", "0", hall_zones(3, 6, 4)),
        ),
        inspections_months_ago=(25, 13),
        engineer="engineer2",
        story=("overdue", "open_degraded"),
    ),
    Site(
        "Willow House",
        "Millbeck Care",
        "care",
        3,
        "8.6",
        (),
        (
            Panel("nurses' station", "0", (stair("Stair A", 3), stair("Stair B", 3), Zone("Day room", "0", 3, 4, 2))),
            Panel("attic plant room", "3", (stair("Stair C", 3), Zone("Corridor 2", "2", 2, 4, 2))),
        ),
        inspections_months_ago=(22, 16, 10, 4),
        interval_months=6,
        story=("closed_defect",),
    ),
    Site(
        "Station Arcade",
        "Ropewalk Estates",
        "retail",
        2,
        "7.2",
        ("manager3",),
        (
            Panel(
                "security room",
                "0",
                (
                    Zone("Arcade north", "0–1", 8, 6, 3, 2, "8.0", "dome"),
                    Zone("Arcade south", "0–1", 8, 6, 3, 2, "8.0", "dome"),
                ),
            ),
            Panel("loading bay", "0", (stair("Service stair", 2), Zone("Food court", "1", 6, 5, 2))),
        ),
        engineer="engineer2",
        story=("revoked",),
    ),
    Site(
        "Tannery Lofts",
        "Quay Homes Association",
        "flats",
        6,
        "17.5",
        ("manager",),
        (
            Panel("bin store lobby", "0", (stair("Stair 1", 6), stair("Stair 2", 6))),
            Panel("block C entrance", "0", (stair("Stair 3", 6), stair("Stair 4", 6))),
        ),
        inspections_months_ago=(26, 14),
        story=("overdue",),
    ),
    Site(
        "Kiln Street Depot",
        "Harbour Works",
        "storage",
        1,
        "9.5",
        (),
        (
            Panel("gatehouse", "0", hall_zones(3, 8, 6)),
            Panel("dispatch", "0", hall_zones(3, 8, 6)),
        ),
        inspections_months_ago=(23, 11),
        engineer="engineer2",
        story=("due_soon",),
    ),
    Site(
        "Mariner House",
        "Ropewalk Estates",
        "hotel",
        7,
        "20.5",
        ("manager3",),
        (
            Panel("reception back office", "0", (stair("Guest stair", 7), Zone("Lobby", "0", 4, 5, 2))),
            Panel(
                "linen room",
                "3",
                (stair("Service stair", 7), Zone("Corridors 3", "3", 2, 4, 2), Zone("Corridors 5", "5", 2, 4, 2)),
            ),
        ),
        story=("open_minor", "swap"),
    ),
    Site(
        "Lantern Library",
        "Borough of Skellmere",
        "assembly",
        3,
        "10.2",
        (),
        (
            Panel(
                "strong room lobby",
                "0",
                (Zone("Reading room", "0–2", 10, 8, 3, 2, "10.5", "louvre"), stair("Stair", 3)),
            ),
            Panel("stack", "−1", (Zone("Stack", "−1", 4, 6, 2),)),
        ),
        inspections_months_ago=(20, 8),
        interval_months=3,
        story=("false_alarms", "quarterly"),
    ),
    Site(
        "Beacon Court",
        "Quay Homes Association",
        "flats",
        9,
        "26.0",
        ("manager",),
        (
            Panel("meter room", "0", (stair("Stair", 9, 2), *lobby_zones(1, 4, "shaft B")), "addressed"),
            Panel("fifth floor riser", "5", lobby_zones(5, 8, "shaft B"), "addressed"),
        ),
        commissioned_months_ago=8,
        inspections_months_ago=(),
        engineer="engineer2",
    ),
    Site(
        "Weir Street Garage",
        "Borough of Skellmere",
        "transport",
        5,
        "14.0",
        (),
        (
            Panel("attendant's office", "0", (stair("Stair west", 5), stair("Stair east", 5))),
            Panel("pump room", "−1", (Zone("Deck 1", "1", 5, 5, 2), Zone("Deck 2", "2", 5, 5, 2))),
        ),
        inspections_months_ago=(24, 12),
        engineer="engineer",
        story=("under_way",),
    ),
    Site(
        "Old Customs House",
        "Borough of Skellmere",
        "office",
        4,
        "13.5",
        (),
        (
            Panel("cellar", "−1", (stair("Great stair", 4), Zone("Long room", "1", 4, 4, 2))),
            Panel("attic", "3", (stair("Back stair", 4), Zone("Record office", "3", 3, 4, 2))),
        ),
        commissioned_months_ago=0,
        inspections_months_ago=(),
        story=("take_over",),
        country="",
    ),
)
