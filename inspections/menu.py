"""What the menu and the bars of sibling pages may lead to in this app; who sees it stands in sites_registry."""

from django.db.models import OuterRef

from inspections.models import Defect, Visit
from sites_registry.access import Role
from sites_registry.navigation import Entry
from sites_registry.siblings import EVERYBODY, Sibling

ENTRIES = (
    Entry("home", "Home", {Role.ENGINEER: "My visits"}),
    Entry(
        "building-list",
        "Buildings",
        also_below=(
            *("panels", "battery-sets", "settings", "circuits", "lines", "coincidences", "rules", "data-links"),
            *("link-entries", "input-ports", "vents", "vent-groups", "positions", "terminals", "links", "cables"),
            *(
                "floor-plans",
                "cores",
                "variations",
                "contacts",
                "hand-overs",
                "reading-links",
                "handed-over",
                "jobs",
                "clients",
                "accepted",
                "building-files",
            ),
        ),
    ),
    Entry("visit-list", "Visits", also_below=("settings-found",)),
    Entry("defect-list", "Defects"),
    Entry("certificate-list", "Certificates"),
    Entry("protocol-list", "Protocols"),
    Entry("instrument-list", "Instruments"),
    Entry("verification-list", "Evidence"),
)


def _has_started(visit):
    return visit.started_at is not None


def _of_building(rows):
    return rows.filter(building=OuterRef("pk"))


SIBLINGS = (
    Sibling("building-detail", "Overview", EVERYBODY),
    Sibling(
        "building-visits",
        "Visits",
        EVERYBODY,
        rows=lambda: _of_building(Visit.objects),
        also=("job-detail", "job-materials", "job-standing"),
    ),
    Sibling(
        "building-defects",
        "Defects",
        EVERYBODY,
        rows=lambda: _of_building(Defect.objects.open()),
        also=("defect-detail",),
    ),
    Sibling("log-book", "Log book", EVERYBODY, also=("log-entry-detail", "log-book-print")),
    Sibling("building-particulars", "Particulars", EVERYBODY, also=("building-managers", "variation-list")),
    Sibling(
        "schedule-list",
        "Papers",
        EVERYBODY,
        also=(
            "certificate-detail",
            "as-installed-list",
            "as-installed-changes",
            "hand-over-detail",
            "building-records",
            "reading-link-detail",
            "label-list",
            "cable-schedule",
            "end-of-line-schedule",
        ),
    ),
    Sibling("wiring-diagram", "Wiring diagram", EVERYBODY),
    Sibling("zone-overview", "Zone overview", EVERYBODY),
    Sibling("panel-commissioning-plan", "Commissioning plan", EVERYBODY),
    Sibling("visit-detail", "Visit", EVERYBODY, also=("certificate-issue",)),
    Sibling("visit-plan", "Commissioning plan", EVERYBODY, applies=lambda visit: visit.kind == "commissioning"),
    Sibling(
        "visit-field",
        "In the field",
        (Role.ENGINEER,),
        also=("visit-settings", "visit-instruments"),
        applies=_has_started,
    ),
    Sibling("visit-finish", "Finish", (Role.ENGINEER,), applies=lambda visit: visit.state == "under_way"),
)
