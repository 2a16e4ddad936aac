"""The papers of what is fitted and wired: an entry for each (`sites_registry/documents/papers.py`)."""

from operator import attrgetter

from sites_registry.access import STAFF_ROLES
from sites_registry.documents.papers import BUILDING, JOB, File, Paper, Subject
from zones.as_installed.document import changes_asked_for
from zones.cause_and_effect.document import matrix_asked_for
from zones.design_check import document as design_check
from zones.drawings.document import (
    WiringDiagram,
    ZoneOverviewDrawing,
    drawing_asked_for,
    dxf_asked_for,
    svg_asked_for,
)
from zones.floor_plans import document as floor_plans
from zones.labels.document import device_labels_asked_for
from zones.labels.views import labels_asked_for
from zones.materials import document as materials
from zones.models import ControlPanel
from zones.panel_settings.document import settings_asked_for
from zones.panels import device_schedule, zone_schedule

PANEL = Subject(
    word="panel",
    address="panels/<int:pk>/",
    lookup="pk",
    records=lambda person: ControlPanel.objects.visible_to(person).select_related("building__client", "position"),
    name_of=attrgetter("tag"),
    in_building=lambda building, person: building.panels.select_related("position").order_by("position__tag_key"),
    none="No panel is recorded in this building.",
)

PAPERS = (
    Paper(
        key="zone-overview",
        title="Zone overview",
        holds="Which inputs move which vents: inputs left, vents right. A3.",
        of=PANEL,
        page="zone-overview",
        files=(
            File(make=drawing_asked_for(ZoneOverviewDrawing)),
            File(make=svg_asked_for(ZoneOverviewDrawing), extension="svg"),
            File(make=dxf_asked_for(ZoneOverviewDrawing), extension="dxf"),
        ),
        folder="drawings",
        filed=10,
    ),
    Paper(
        key="zone-schedule",
        title="Zone schedule",
        holds="Every smoke zone with its panel, required and declared areas, vents and groups.",
        of=BUILDING,
        files=(
            File(make=zone_schedule.schedule_asked_for),
            File(make=zone_schedule.spreadsheet_asked_for, extension="xlsx"),
        ),
        folder="schedules",
        filed=20,
    ),
    Paper(
        key="cause-and-effect",
        title="Cause-and-effect matrix",
        holds="Inputs down, outputs across, one sign for each kind of effect.",
        of=PANEL,
        page="rule-matrix",
        files=(File(make=matrix_asked_for, url_name="panel-cause-and-effect-pdf"),),
        words="cause and effect",
        folder="cause_and_effect",
        filed=30,
    ),
    Paper(
        key="device-schedule",
        title="Device schedule",
        holds="Every position with its place, wiring and unit, panel by panel in walking order.",
        of=BUILDING,
        files=(
            File(make=device_schedule.schedule_asked_for),
            File(make=device_schedule.spreadsheet_asked_for, extension="xlsx"),
        ),
        folder="schedules",
        anchor="parts",
        filed=40,
    ),
    Paper(
        key="wiring-diagram",
        title="Wiring diagram",
        holds="Every core from terminal to terminal, and every end-of-line resistor or module. A3.",
        of=PANEL,
        page="wiring-diagram",
        files=(
            File(make=drawing_asked_for(WiringDiagram)),
            File(make=svg_asked_for(WiringDiagram), extension="svg"),
            File(make=dxf_asked_for(WiringDiagram), extension="dxf"),
        ),
        folder="drawings",
        filed=60,
    ),
    Paper(
        key="zone-plan",
        title="Zone plan",
        holds="The floor plans with the zones hatched round their positions. A3.",
        of=BUILDING,
        page="floor-plan-list",
        files=(File(make=floor_plans.zone_plan_asked_for),),
        folder="drawings",
        filed=65,
    ),
    Paper(
        key="device-plan",
        title="Device plan",
        holds="The floor plans with every device at its place. A3.",
        of=BUILDING,
        page="floor-plan-list",
        files=(File(make=floor_plans.device_plan_asked_for),),
        folder="drawings",
        filed=66,
    ),
    Paper(
        key="settings-sheet",
        title="Settings sheet",
        holds="Every setting of a panel and its devices as left, with boxes to work from.",
        of=PANEL,
        page="panel-settings-sheet",
        files=(File(make=settings_asked_for, url_name="panel-settings-sheet-pdf"),),
        words="settings",
        folder="settings",
        filed=90,
    ),
    Paper(
        key="design-check",
        title="Design check",
        holds="Findings, inputs, sources.",
        of=BUILDING,
        page="building-design-check",
        files=(File(make=design_check.building_report_asked_for, url_name="building-design-check-report"),),
        folder="schedules",
        filed=100,
    ),
    Paper(
        key="panel-design-check",
        title="Design check",
        holds="Findings, inputs, sources.",
        of=PANEL,
        page="panel-design-check",
        files=(
            File(
                make=design_check.panel_report_asked_for,
                url_name="panel-design-check-report",
                address="design-check.pdf",
            ),
        ),
        filed=101,
    ),
    Paper(
        key="material-list",
        title="Material list",
        holds="What an open job asks for, against what arrived.",
        of=JOB,
        page="job-materials",
        files=(
            File(make=materials.list_asked_for, url_name="job-materials-pdf"),
            File(make=materials.spreadsheet_asked_for, url_name="job-materials-xlsx", extension="xlsx"),
        ),
        roles=STAFF_ROLES,
        filed=120,
    ),
    Paper(
        key="labels",
        title="Labels",
        holds="For devices, cables and cores, with a code that opens their page; on stock in exact size.",
        of=BUILDING,
        page="label-list",
        page_words="Choose labels",
        files=(File(make=labels_asked_for, url_name="label-pdf", asks_first=True),),
        filed=130,
    ),
    Paper(
        key="label-sheet",
        title="Label sheet, devices",
        of=JOB,
        make_handed_over=device_labels_asked_for,
        words="labels",
        folder="labels",
        filed=131,
    ),
    Paper(
        key="as-installed-changes",
        title="Changes as installed",
        holds="Added, moved, swapped, rewired since a revision.",
        of=BUILDING,
        page="as-installed-changes",
        files=(
            File(
                make=changes_asked_for,
                address="as-installed/changes.pdf",
                asks_first=True,
            ),
        ),
        filed=140,
    ),
)
