"""Who opens what: what is fitted and wired. See table_sites_registry.py."""

from tests import builders
from tests.zones.device_lists.lists import check, csv_of
from tests.zones.floor_plans.plans import plan_of
from zones.models import EndOfLinePart, PlateFigure, TerminalLink

READ = ("log in", "hidden", "open", "open", "open")  # a manager reads what stands in own buildings
EDIT = ("log in", "refused", "refused", "open", "open")
ACT = ("log in", "refused", "refused", "elsewhere", "elsewhere")  # a button, which leads to a page
OFFICE = ("log in", "refused", "refused", "refused", "open")
CALCULATORS = (
    *("voltage-drop", "cable-rating", "protection", "battery", "supply", "monitored-line"),
    *("locate-fault", "opening-time", "actuator-force", "insulation", "vent-area", "required-area"),
)

EXPECTED = {
    # panels
    "panel-list": READ,
    "panel-create": EDIT,
    "panel-detail": READ,
    "panel-record": READ,
    "panel-update": EDIT,
    "battery-limits": ("log in", "open", "open", "open", "open"),
    "battery-list": ("log in", "open", "open", "open", "open"),
    "battery-list-export": ("log in", "open", "open", "open", "open"),
    "battery-set-create": EDIT,
    "battery-set-update": EDIT,
    "panel-settings-sheet": READ,
    "setting-create": EDIT,
    "setting-update": EDIT,
    "setting-remove": EDIT,
    "circuit-create": EDIT,
    "circuit-update": EDIT,
    "circuit-remove": EDIT,
    "line-create": EDIT,
    "line-update": EDIT,
    "line-remove": EDIT,
    **dict.fromkeys(("rule-list", "rule-matrix", "simulator", "panel-proof", "rule-comparison"), READ),
    "rule-cell": EDIT,
    "usual-rules": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "coincidence-create": EDIT,
    "coincidence-update": EDIT,
    "coincidence-remove": EDIT,
    "rule-create": EDIT,
    "rule-update": EDIT,
    "rule-remove": EDIT,
    # design
    "panel-design-check": READ,
    "building-design-check": READ,
    "calculator": EDIT,
    **{f"calculator-{name}": EDIT for name in CALCULATORS},
    "line-locate-fault": EDIT,
    "document-list": EDIT,
    "circuit-cables": EDIT,
    "line-cables": EDIT,
    "design-basis-update": EDIT,
    "practice-list": OFFICE,
    "practice-update": OFFICE,
    "practice-reset": ("log in", "refused", "refused", "refused", "elsewhere"),
    # zones
    "building-set-up": EDIT,
    "zone-list": READ,
    "zone-create": EDIT,
    "zone-detail": READ,
    "zone-update": EDIT,
    "zone-duplicate": EDIT,
    "vent-create": EDIT,
    "vent-update": EDIT,
    "vent-remove": EDIT,
    "vent-group-create": EDIT,
    "vent-group-update": EDIT,
    "vent-group-remove": EDIT,
    # wiring
    "panel-terminal-list": READ,
    "panel-terminal-create": EDIT,
    "device-terminal-list": READ,
    "device-terminal-create": EDIT,
    "panel-wiring": READ,
    "wiring-undo": EDIT,
    "wiring-list-import": EDIT,
    "wiring-list-export": READ,
    "wiring-save": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "terminal-wiring": EDIT,
    "terminal-link-create": EDIT,
    "core-exchange": EDIT,
    "terminal-link-remove": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "end-of-line-part-create": EDIT,
    "end-of-line-part-update": EDIT,
    "end-of-line-part-remove": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "terminal-tick": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "data-link-create": EDIT,
    "data-link-detail": READ,
    "data-link-update": EDIT,
    "data-link-remove": EDIT,
    "data-link-loop": EDIT,
    "data-link-members": EDIT,
    "link-list": EDIT,
    "link-confirm-serial": EDIT,
    "link-confirm-operating": EDIT,
    "link-entry-free": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "input-port-create": EDIT,
    "input-port-update": EDIT,
    "input-port-remove": EDIT,
    "input-port-loop": EDIT,
    "wiring-complete": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "panel-terminal-pattern": EDIT,
    "device-terminal-pattern": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "circuit-loop": EDIT,
    "circuit-members": EDIT,
    "line-loop": EDIT,
    "line-members": EDIT,
    "input-loop": EDIT,
    "product-model-wiring-pattern": OFFICE,
    "product-model-propose": EDIT,
    "product-model-confirm": ("log in", "refused", "refused", "refused", "elsewhere"),
    "plate-figure-keep": ("log in", "refused", "refused", "refused", "elsewhere"),
    "terminal-update": EDIT,
    "terminal-remove": EDIT,
    "cable-list": READ,
    "cable-create": EDIT,
    "cable-detail": READ,
    "cable-update": EDIT,
    "cable-remove": EDIT,
    "core-create": EDIT,
    "core-update": EDIT,
    "core-remove": EDIT,
    # product models, positions, units
    "product-model-list": EDIT,
    "product-model-create": OFFICE,
    "product-model-detail": EDIT,
    "product-model-trends": EDIT,
    "product-model-update": OFFICE,
    "position-list": READ,
    "position-create": EDIT,
    "position-run": EDIT,
    "small-system-list": EDIT,
    "small-system": EDIT,
    "position-grid": EDIT,
    "walking-order": EDIT,
    "position-detail": READ,
    "position-update": EDIT,
    "position-retire": EDIT,
    "position-take-back": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "fitting-create": EDIT,
    "fitting-close": EDIT,
    "serial-save": EDIT,
    "serial-list": EDIT,
    "identical-unit-list": READ,
    "place-confirmation-create": EDIT,
    "place-exchange": ("log in", "refused", "refused", "elsewhere", "elsewhere"),
    "unit-list": EDIT,
    "unit-create": EDIT,
    "unit-recall": EDIT,
    "unit-recall-export": EDIT,
    "unit-detail": READ,
    "unit-update": EDIT,
    "unit-move": EDIT,
    # files kept with a record
    "attachment-create": ("log in", "refused", "refused", "open", "open"),
    "attachment-download": READ,
    "attachment-withdraw": OFFICE,  # and the engineer who added it: tests/zones/files/test_attachment_pages.py
    # floor plans
    **dict.fromkeys((f"floor-plan-{word}" for word in ("list", "detail", "picture", "file")), READ),
    **dict.fromkeys((f"floor-plan-{word}" for word in ("create", "update", "places")), EDIT),
    **dict.fromkeys((f"floor-plan-{word}" for word in ("confirm", "withdraw")), ACT),
    # device lists
    "device-list-import": OFFICE,
    **{f"import-run-{word}": OFFICE for word in ("detail", "columns", "table", "check", "again")},
    **{f"import-run-{word}": OFFICE for word in ("apply", "discard", "faults")},
    "device-list-export": READ,
}


def _pair(town):
    return {name: builders.make_terminal(town.panel) for name in ("first", "second")}


def _building(town):
    return [town.hall.slug]


def _panel(town):
    return [town.panel.pk]


def _zone(town):
    return [town.hall.slug, town.zone.number]


def _detector(town):
    return [town.detector.pk]


def _call_point(town):
    return [town.call_point.pk]


def _unit(town):
    return [town.unit.pk]


def _product_model(town):
    return [town.unit.product_model_id]


def _plate_figure(town):
    figure = PlateFigure.objects.create(
        product_model=town.unit.product_model,
        position=town.detector,
        name="rated_current_a",
        value=2,
        value_on_record=1,
        read_by=town.people["engineer"],
    )
    return [figure.product_model_id, figure.pk]


def _key_of(make):
    """Arguments of an address that names a record which the town has none of yet."""
    return lambda town: [make(town).pk]


_battery_set = _key_of(lambda town: builders.make_battery_set(town.panel))
_setting = _key_of(lambda town: builders.make_setting(town.panel))
_circuit = _key_of(lambda town: builders.make_circuit(town.panel))
_line = _key_of(lambda town: builders.make_line(town.panel))
_rule = _key_of(lambda town: builders.make_rule(town.panel, smoke_zone=town.zone))
_coincidence = _key_of(lambda town: builders.make_coincidence(town.panel))
_vent = _key_of(lambda town: builders.make_vent(town.zone))
_vent_group = _key_of(lambda town: builders.make_vent_group(town.zone))
_data_link = _key_of(lambda town: builders.make_data_link(town.panel))
_link_entry = _key_of(lambda town: builders.make_link_entry(builders.make_data_link(town.panel)))
_input_port = _key_of(lambda town: builders.make_input_port(town.panel))
_terminal = _key_of(lambda town: builders.make_terminal(town.panel))
_cable = _key_of(lambda town: builders.make_cable(town.hall))
_core = _key_of(lambda town: builders.make_core(builders.make_cable(town.hall)))


def _import_run(town):
    return [town.hall.slug, check(town.hall, csv_of(("SD1",), headings=("Tag",)), by=town.people["office"]).pk]


_attachment = _key_of(lambda town: builders.make_attachment(building=town.hall, added_by=town.people["office"]))


def _practice(town):
    return ["opening_limit_s"]


ARGUMENTS = {
    "panel-design-check": _panel,
    "building-design-check": _building,
    "circuit-cables": _circuit,
    "line-cables": _line,
    "design-basis-update": _building,
    "practice-update": _practice,
    "practice-reset": _practice,
    "panel-list": _building,
    "panel-create": _building,
    "panel-detail": _panel,
    "panel-record": _panel,
    "panel-update": _panel,
    "battery-set-create": _panel,
    "battery-set-update": lambda town: [(town.panel.battery_sets.first() or builders.make_battery_set(town.panel)).pk],
    "panel-settings-sheet": _panel,
    "setting-create": _panel,
    "setting-update": _setting,
    "setting-remove": _setting,
    "circuit-create": _panel,
    "circuit-update": _circuit,
    "circuit-remove": _circuit,
    "line-create": _panel,
    "line-update": _line,
    "line-remove": _line,
    **dict.fromkeys(("rule-matrix", "simulator", "panel-proof", "rule-comparison"), _panel),
    "usual-rules": _panel,
    "coincidence-create": _panel,
    "coincidence-update": _coincidence,
    "coincidence-remove": _coincidence,
    "rule-cell": lambda town: [town.panel.pk, "mains", f"z{town.zone.pk}"],
    "line-locate-fault": lambda town: [town.panel.pk, builders.make_line(town.panel).number],
    "rule-list": _panel,
    "rule-create": _panel,
    "rule-update": _rule,
    "rule-remove": _rule,
    "building-set-up": _building,
    "zone-list": _building,
    "zone-create": _building,
    "zone-detail": _zone,
    "zone-update": _zone,
    "zone-duplicate": _zone,
    "vent-create": _zone,
    "vent-update": _vent,
    "vent-remove": _vent,
    "vent-group-create": _zone,
    "vent-group-update": _vent_group,
    "vent-group-remove": _vent_group,
    "wiring-list-import": _panel,
    "wiring-list-export": lambda town: [town.panel.pk, "csv"],
    "panel-wiring": _panel,
    "wiring-undo": _panel,
    "wiring-save": _panel,
    **dict.fromkeys(("terminal-wiring", "terminal-tick", "terminal-link-create", "core-exchange"), _terminal),
    "end-of-line-part-create": _terminal,
    "terminal-link-remove": _key_of(lambda town: TerminalLink.objects.create(**_pair(town))),
    **dict.fromkeys(
        ("end-of-line-part-update", "end-of-line-part-remove"),
        _key_of(lambda town: EndOfLinePart.objects.create(**_pair(town))),
    ),
    "data-link-create": _panel,
    **dict.fromkeys(
        (
            "data-link-detail",
            "data-link-update",
            "data-link-remove",
            "data-link-loop",
            "data-link-members",
            "link-list",
            "link-confirm-serial",
        ),
        _data_link,
    ),
    "link-confirm-operating": _link_entry,
    "link-entry-free": _link_entry,
    "input-port-create": _panel,
    "input-port-update": _input_port,
    "input-port-remove": _input_port,
    "input-port-loop": _panel,
    "wiring-complete": _panel,
    "panel-terminal-pattern": _panel,
    "device-terminal-pattern": _detector,
    "input-loop": _panel,
    **dict.fromkeys(("circuit-loop", "circuit-members"), _circuit),
    **dict.fromkeys(("line-loop", "line-members"), _line),
    "product-model-wiring-pattern": _product_model,
    "product-model-confirm": _product_model,
    "plate-figure-keep": _plate_figure,
    "panel-terminal-list": _panel,
    "panel-terminal-create": _panel,
    "device-terminal-list": _detector,
    "device-terminal-create": _detector,
    "terminal-update": _terminal,
    "terminal-remove": _terminal,
    "cable-list": _building,
    "cable-create": _building,
    "cable-detail": _cable,
    "cable-update": _cable,
    "cable-remove": _cable,
    "core-create": _cable,
    "core-update": _core,
    "core-remove": _core,
    "product-model-detail": _product_model,
    "product-model-trends": _product_model,
    "product-model-update": _product_model,
    "position-list": _building,
    "position-create": _building,
    "position-run": _building,
    "position-grid": _building,
    "small-system-list": _building,
    "small-system": lambda town: [town.hall.slug, "one-panel-two-zones"],
    "walking-order": _building,
    "position-detail": _call_point,
    "position-update": _call_point,
    "position-retire": _call_point,
    "position-take-back": _call_point,
    "fitting-create": _call_point,
    "fitting-close": _call_point,
    "serial-save": _call_point,
    "serial-list": _building,
    "identical-unit-list": _building,
    "place-confirmation-create": _detector,
    "place-exchange": lambda town: [town.detector.pk, town.call_point.pk],
    "unit-recall-export": lambda town: ["csv"],
    "battery-list-export": lambda town: ["csv"],
    "unit-detail": _unit,
    "unit-update": _unit,
    "unit-move": _unit,
    "attachment-create": lambda town: ["building", town.hall.pk],
    "attachment-download": _attachment,
    "attachment-withdraw": _attachment,
    **dict.fromkeys((name for name in EXPECTED if name.startswith("floor-plan-")), _key_of(plan_of)),
    "floor-plan-list": _building,
    "floor-plan-create": _building,
    "device-list-import": _building,
    "device-list-export": lambda town: [town.hall.slug, "csv"],
    "import-run-detail": _import_run,
    "import-run-columns": _import_run,
    "import-run-table": _import_run,
    "import-run-check": _import_run,
    "import-run-again": _import_run,
    "import-run-apply": _import_run,
    "import-run-discard": _import_run,
    "import-run-faults": _import_run,
}
