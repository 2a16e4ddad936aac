"""What the menu and the bars of sibling pages may lead to in this app; their order stands in sites_registry."""

from django.db.models import OuterRef

from sites_registry.navigation import Entry
from sites_registry.siblings import EVERYBODY, Sibling
from zones.models import Cable, CauseAndEffectRule, ControlPanel, FloorPlan, Position, SmokeZone, Terminal

ENTRIES = (
    Entry("unit-list", "Units"),
    Entry("battery-list", "Batteries"),
    Entry("product-model-list", "Models"),
    Entry("calculator", "Calculator", also_below=("documents",)),
    Entry("practice-list", "Common practice"),
)


def _of(model, field, **limits):
    return lambda: model.objects.filter(**{field: OuterRef("pk")}, **limits)


SIBLINGS = (
    Sibling(
        "position-list",
        "Positions",
        EVERYBODY,
        rows=lambda: Position.objects.in_use().filter(building=OuterRef("pk")),
        also=(
            "building-set-up",
            "position-detail",
            "device-terminal-list",
            "position-grid",
            "serial-list",
            "identical-unit-list",
            "small-system-list",
            "walking-order",
            "device-list-import",
            "import-run-detail",
            "import-run-columns",
            "import-run-check",
            "import-run-table",
        ),
    ),
    Sibling(
        "floor-plan-list",
        "Floor plans",
        EVERYBODY,
        rows=lambda: FloorPlan.objects.in_force().filter(building=OuterRef("pk")),
        also=("floor-plan-detail",),
    ),
    Sibling("panel-list", "Panels", EVERYBODY, rows=_of(ControlPanel, "building")),
    Sibling("zone-list", "Zones", EVERYBODY, rows=_of(SmokeZone, "building"), also=("zone-detail",)),
    Sibling("cable-list", "Cables", EVERYBODY, rows=_of(Cable, "building"), also=("cable-detail",)),
    Sibling("building-design-check", "Design check", EVERYBODY),
    Sibling(
        "panel-detail",
        "Panel",
        EVERYBODY,
        also=("circuit-detail", "circuit-cables", "line-detail", "line-cables", "data-link-detail"),
    ),
    Sibling(
        "panel-wiring",
        "Wiring",
        EVERYBODY,
        rows=_of(Terminal, "panel"),
        also=("panel-terminal-list", "wiring-list-import", "terminal-schedule"),
    ),
    Sibling("rule-matrix", "Cause and effect", EVERYBODY, rows=_of(CauseAndEffectRule, "panel"), also=("rule-list",)),
    Sibling("panel-proof", "Logic proof", EVERYBODY, also=("rule-comparison",)),
    Sibling("simulator", "Simulator", EVERYBODY),
    Sibling("panel-settings-sheet", "Settings", EVERYBODY),
    Sibling("panel-design-check", "Design check", EVERYBODY, also=("line-locate-fault",)),
    Sibling("panel-record", "Record", EVERYBODY),
)
