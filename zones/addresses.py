"""Addresses of what is fitted and wired."""

from django.urls import path, re_path

from zones.calculators.views import index as calculators
from zones.cause_and_effect.views import comparison, proof, rules, simulator
from zones.cause_and_effect.views import matrix as rule_matrix
from zones.design_basis import views as design_basis
from zones.design_check.views import batteries
from zones.design_check.views import checks as design_check
from zones.device_lists import views as device_lists
from zones.files import views as attachments
from zones.floor_plans import views as floor_plans
from zones.panel_settings.views import sheet as settings_sheet
from zones.panels.views import cable_runs, circuits, link_lists, panels, ports, set_up, smoke_zones
from zones.positions.views import fittings, identical_units, positions, run_members, serials
from zones.positions.views import grid as position_grid
from zones.positions.views import runs as position_runs
from zones.small_systems import views as small_systems
from zones.units.views import product_models, recalls, units
from zones.wiring.views import cables, exchange, terminal_links, terminals
from zones.wiring.views import complete as wiring_complete
from zones.wiring.views import lists as wiring_lists
from zones.wiring.views import loops as wiring_loops
from zones.wiring.views import page as wiring

panel_addresses = [
    path("buildings/<slug:slug>/panels/", panels.PanelListView.as_view(), name="panel-list"),
    path("buildings/<slug:slug>/panels/new/", panels.PanelCreateView.as_view(), name="panel-create"),
    path("panels/<int:pk>/", panels.PanelDetailView.as_view(), name="panel-detail"),
    path("panels/<int:pk>/record/", panels.PanelRecordView.as_view(), name="panel-record"),
    path("panels/<int:pk>/change/", panels.PanelUpdateView.as_view(), name="panel-update"),
    path("panels/<int:pk>/batteries/new/", panels.BatteryChangeView.as_view(), name="battery-set-create"),
    path("batteries/", batteries.BatteryListView.as_view(), name="battery-list"),
    path("batteries/within-limits.json", batteries.battery_limits, name="battery-limits"),
    path("batteries.<str:file_format>", batteries.BatteryListExport.as_view(), name="battery-list-export"),
    path("battery-sets/<int:pk>/change/", panels.BatterySetUpdateView.as_view(), name="battery-set-update"),
    path("panels/<int:pk>/settings-sheet/", settings_sheet.panel_settings_sheet, name="panel-settings-sheet"),
    path("panels/<int:pk>/settings/new/", panels.SettingCreateView.as_view(), name="setting-create"),
    path("settings/<int:pk>/change/", panels.SettingUpdateView.as_view(), name="setting-update"),
    path("settings/<int:pk>/remove/", panels.SettingRemoveView.as_view(), name="setting-remove"),
    path("panels/<int:pk>/circuits/new/", circuits.CircuitCreateView.as_view(), name="circuit-create"),
    path("circuits/<int:pk>/change/", circuits.CircuitUpdateView.as_view(), name="circuit-update"),
    path("circuits/<int:pk>/remove/", circuits.CircuitRemoveView.as_view(), name="circuit-remove"),
    path("panels/<int:pk>/lines/new/", circuits.LineCreateView.as_view(), name="line-create"),
    path("lines/<int:pk>/change/", circuits.LineUpdateView.as_view(), name="line-update"),
    path("lines/<int:pk>/remove/", circuits.LineRemoveView.as_view(), name="line-remove"),
    path("panels/<int:pk>/cause-and-effect/", rule_matrix.rule_matrix, name="rule-matrix"),
    path("panels/<int:pk>/proof/", proof.panel_proof, name="panel-proof"),
    path("panels/<int:pk>/proof/rules-compared/", comparison.rule_comparison, name="rule-comparison"),
    path("panels/<int:pk>/simulator/", simulator.simulator, name="simulator"),
    path("panels/<int:pk>/cause-and-effect/cell/<slug:cause>/<path:target>/", rule_matrix.rule_cell, name="rule-cell"),
    path("panels/<int:pk>/cause-and-effect/usual/", rule_matrix.usual_rules, name="usual-rules"),
    path("panels/<int:pk>/coincidences/new/", rule_matrix.CoincidenceCreateView.as_view(), name="coincidence-create"),
    path("coincidences/<int:pk>/change/", rule_matrix.CoincidenceUpdateView.as_view(), name="coincidence-update"),
    path("coincidences/<int:pk>/remove/", rule_matrix.CoincidenceRemoveView.as_view(), name="coincidence-remove"),
    path("panels/<int:pk>/rules/", rules.RuleListView.as_view(), name="rule-list"),
    path("panels/<int:pk>/rules/new/", rules.RuleCreateView.as_view(), name="rule-create"),
    path("rules/<int:pk>/change/", rules.RuleUpdateView.as_view(), name="rule-update"),
    path("rules/<int:pk>/remove/", rules.RuleRemoveView.as_view(), name="rule-remove"),
]

port_addresses = [
    path("panels/<int:pk>/data-links/new/", ports.DataLinkCreateView.as_view(), name="data-link-create"),
    path("data-links/<int:pk>/", ports.DataLinkDetailView.as_view(), name="data-link-detail"),
    path("data-links/<int:pk>/change/", ports.DataLinkUpdateView.as_view(), name="data-link-update"),
    path("data-links/<int:pk>/remove/", ports.DataLinkRemoveView.as_view(), name="data-link-remove"),
    path("data-links/<int:pk>/list/", link_lists.LinkListView.as_view(), name="link-list"),
    path("data-links/<int:pk>/confirm/", link_lists.ConfirmSerialView.as_view(), name="link-confirm-serial"),
    path("link-entries/<int:pk>/confirm/", link_lists.ConfirmOperatingView.as_view(), name="link-confirm-operating"),
    path("link-entries/<int:pk>/free/", link_lists.link_entry_free, name="link-entry-free"),
    path("panels/<int:pk>/input-ports/new/", ports.InputPortCreateView.as_view(), name="input-port-create"),
    path("input-ports/<int:pk>/change/", ports.InputPortUpdateView.as_view(), name="input-port-update"),
    path("input-ports/<int:pk>/remove/", ports.InputPortRemoveView.as_view(), name="input-port-remove"),
]

zone_path = "buildings/<slug:slug>/zones/<int:number>/"
zone_addresses = [
    path("buildings/<slug:slug>/set-up/", set_up.BuildingSetUpView.as_view(), name="building-set-up"),
    path("buildings/<slug:slug>/small-systems/", small_systems.SmallSystemListView.as_view(), name="small-system-list"),
    path(
        "buildings/<slug:slug>/small-systems/<slug:system>/",
        small_systems.SmallSystemView.as_view(),
        name="small-system",
    ),
    path("buildings/<slug:slug>/zones/", smoke_zones.ZoneListView.as_view(), name="zone-list"),
    path("buildings/<slug:slug>/zones/new/", smoke_zones.ZoneCreateView.as_view(), name="zone-create"),
    path(zone_path, smoke_zones.ZoneDetailView.as_view(), name="zone-detail"),
    path(f"{zone_path}change/", smoke_zones.ZoneUpdateView.as_view(), name="zone-update"),
    path(f"{zone_path}duplicate/", smoke_zones.ZoneDuplicateView.as_view(), name="zone-duplicate"),
    path(f"{zone_path}vents/new/", smoke_zones.VentCreateView.as_view(), name="vent-create"),
    path("vents/<int:pk>/change/", smoke_zones.VentUpdateView.as_view(), name="vent-update"),
    path("vents/<int:pk>/remove/", smoke_zones.VentRemoveView.as_view(), name="vent-remove"),
    path(f"{zone_path}groups/new/", smoke_zones.VentGroupCreateView.as_view(), name="vent-group-create"),
    path("vent-groups/<int:pk>/change/", smoke_zones.VentGroupUpdateView.as_view(), name="vent-group-update"),
    path("vent-groups/<int:pk>/remove/", smoke_zones.VentGroupRemoveView.as_view(), name="vent-group-remove"),
]

wiring_addresses = [
    path("panels/<int:pk>/terminals/", terminals.PanelTerminalListView.as_view(), name="panel-terminal-list"),
    path("panels/<int:pk>/terminals/new/", terminals.PanelTerminalCreateView.as_view(), name="panel-terminal-create"),
    path("positions/<int:pk>/terminals/", terminals.DeviceTerminalListView.as_view(), name="device-terminal-list"),
    path(
        "positions/<int:pk>/terminals/new/",
        terminals.DeviceTerminalCreateView.as_view(),
        name="device-terminal-create",
    ),
    path("panels/<int:pk>/wiring/", wiring.panel_wiring, name="panel-wiring"),
    path("panels/<int:pk>/wiring/list/", wiring_lists.wiring_list_import, name="wiring-list-import"),
    path("panels/<int:pk>/wiring-list.<str:file_format>", wiring_lists.wiring_list_export, name="wiring-list-export"),
    path("panels/<int:pk>/wiring/rows/", wiring.wiring_save, name="wiring-save"),
    path("panels/<int:pk>/wiring/undo/", wiring.wiring_undo, name="wiring-undo"),
    path("terminals/<int:pk>/links/new/", terminal_links.TerminalLinkCreateView.as_view(), name="terminal-link-create"),
    path("links/<int:pk>/remove/", terminal_links.TerminalLinkRemoveView.as_view(), name="terminal-link-remove"),
    path(
        "terminals/<int:pk>/end-of-line-parts/new/",
        terminal_links.EndOfLinePartCreateView.as_view(),
        name="end-of-line-part-create",
    ),
    path(
        "end-of-line-parts/<int:pk>/change/",
        terminal_links.EndOfLinePartUpdateView.as_view(),
        name="end-of-line-part-update",
    ),
    path(
        "end-of-line-parts/<int:pk>/remove/",
        terminal_links.EndOfLinePartRemoveView.as_view(),
        name="end-of-line-part-remove",
    ),
    path("terminals/<int:pk>/wiring/", wiring.terminal_wiring, name="terminal-wiring"),
    path("terminals/<int:pk>/exchange/", exchange.CoreExchangeView.as_view(), name="core-exchange"),
    path("terminals/<int:pk>/tick/", wiring.terminal_tick, name="terminal-tick"),
    path("panels/<int:pk>/terminals/pattern/", wiring_loops.PanelPatternView.as_view(), name="panel-terminal-pattern"),
    path(
        "positions/<int:pk>/terminals/pattern/",
        wiring_loops.DevicePatternView.as_view(),
        name="device-terminal-pattern",
    ),
    path("circuits/<int:pk>/devices/", run_members.CircuitMembersView.as_view(), name="circuit-members"),
    path("lines/<int:pk>/devices/", run_members.LineMembersView.as_view(), name="line-members"),
    path("data-links/<int:pk>/devices/", run_members.DataLinkMembersView.as_view(), name="data-link-members"),
    path("circuits/<int:pk>/loop/", wiring_loops.CircuitLoopView.as_view(), name="circuit-loop"),
    path("lines/<int:pk>/loop/", wiring_loops.LineLoopView.as_view(), name="line-loop"),
    path("data-links/<int:pk>/loop/", wiring_loops.DataLinkLoopView.as_view(), name="data-link-loop"),
    path("panels/<int:pk>/input-ports/loop/", wiring_loops.InputPortLoopView.as_view(), name="input-port-loop"),
    path("panels/<int:pk>/wiring/complete/", wiring_complete.wiring_complete, name="wiring-complete"),
    path("panels/<int:pk>/inputs/loop/", wiring_loops.InputLoopView.as_view(), name="input-loop"),
    path(
        "product-models/<int:pk>/wiring-pattern/",
        wiring_loops.WiringPatternView.as_view(),
        name="product-model-wiring-pattern",
    ),
    path("terminals/<int:pk>/change/", terminals.TerminalUpdateView.as_view(), name="terminal-update"),
    path("terminals/<int:pk>/remove/", terminals.TerminalRemoveView.as_view(), name="terminal-remove"),
    path("buildings/<slug:slug>/cables/", cables.CableListView.as_view(), name="cable-list"),
    path("buildings/<slug:slug>/cables/new/", cables.CableCreateView.as_view(), name="cable-create"),
    path("cables/<int:pk>/", cables.CableDetailView.as_view(), name="cable-detail"),
    path("cables/<int:pk>/change/", cables.CableUpdateView.as_view(), name="cable-update"),
    path("cables/<int:pk>/remove/", cables.CableRemoveView.as_view(), name="cable-remove"),
    path("cables/<int:pk>/cores/new/", cables.CoreCreateView.as_view(), name="core-create"),
    path("cores/<int:pk>/change/", cables.CoreUpdateView.as_view(), name="core-update"),
    path("cores/<int:pk>/remove/", cables.CoreRemoveView.as_view(), name="core-remove"),
]

record_addresses = [
    # product models
    path("product-models/", product_models.ProductModelListView.as_view(), name="product-model-list"),
    path("product-models/new/", product_models.ProductModelCreateView.as_view(), name="product-model-create"),
    path("product-models/propose/", product_models.ProductModelProposeView.as_view(), name="product-model-propose"),
    path(
        "product-models/<int:pk>/plate-figures/<int:figure_pk>/keep/",
        product_models.plate_figure_keep,
        name="plate-figure-keep",
    ),
    path("product-models/<int:pk>/confirm/", product_models.product_model_confirm, name="product-model-confirm"),
    path("product-models/<int:pk>/", product_models.product_model_detail, name="product-model-detail"),
    path(
        "product-models/<int:pk>/change/", product_models.ProductModelUpdateView.as_view(), name="product-model-update"
    ),
    # positions
    path("buildings/<slug:slug>/positions/", positions.PositionListView.as_view(), name="position-list"),
    path("buildings/<slug:slug>/positions/new/", positions.PositionCreateView.as_view(), name="position-create"),
    path("buildings/<slug:slug>/positions/run/", position_runs.PositionRunView.as_view(), name="position-run"),
    path("buildings/<slug:slug>/positions/table/", position_grid.PositionGridView.as_view(), name="position-grid"),
    path("buildings/<slug:slug>/walking-order/", position_runs.walking_order, name="walking-order"),
    path("positions/<int:pk>/change/", positions.PositionUpdateView.as_view(), name="position-update"),
    path("positions/<int:pk>/retire/", position_runs.PositionRetireView.as_view(), name="position-retire"),
    path("positions/<int:pk>/take-back/", position_runs.position_take_back, name="position-take-back"),
    # fittings and serials
    path("positions/<int:pk>/fittings/new/", fittings.FittingCreateView.as_view(), name="fitting-create"),
    path("positions/<int:pk>/fittings/close/", fittings.FittingCloseView.as_view(), name="fitting-close"),
    path("positions/<int:pk>/serial/", serials.serial_save, name="serial-save"),
    path("buildings/<slug:slug>/serials/", serials.serial_list, name="serial-list"),
    # which of several identical units hangs where
    path("buildings/<slug:slug>/identical-units/", identical_units.identical_unit_list, name="identical-unit-list"),
    path(
        "positions/<int:pk>/place-confirmation/",
        identical_units.PlaceConfirmationView.as_view(),
        name="place-confirmation-create",
    ),
    path("positions/<int:pk>/exchange/<int:other_pk>/", identical_units.place_exchange, name="place-exchange"),
    # units
    path("units/", units.UnitListView.as_view(), name="unit-list"),
    path("units/new/", units.UnitCreateView.as_view(), name="unit-create"),
    path("units/recall/", recalls.unit_recall, name="unit-recall"),
    path("units/recall.<str:file_format>", recalls.unit_recall_export, name="unit-recall-export"),
    path("units/<int:pk>/change/", units.UnitUpdateView.as_view(), name="unit-update"),
    path("units/<int:pk>/move/", units.UnitMoveView.as_view(), name="unit-move"),
]

attachment_addresses = [
    path("attachments/<slug:owner>/<int:pk>/new/", attachments.AttachmentCreate.as_view(), name="attachment-create"),
    path("attachments/<int:pk>/", attachments.attachment_download, name="attachment-download"),
    path("attachments/<int:pk>/withdraw/", attachments.attachment_withdraw, name="attachment-withdraw"),
]

floor_plan_addresses = [
    path("buildings/<slug:slug>/floor-plans/", floor_plans.floor_plan_list, name="floor-plan-list"),
    path("buildings/<slug:slug>/floor-plans/new/", floor_plans.FloorPlanCreate.as_view(), name="floor-plan-create"),
    path("floor-plans/<int:pk>/", floor_plans.floor_plan_detail, name="floor-plan-detail"),
    path("floor-plans/<int:pk>/change/", floor_plans.FloorPlanUpdate.as_view(), name="floor-plan-update"),
    path("floor-plans/<int:pk>/picture/", floor_plans.floor_plan_picture, name="floor-plan-picture"),
    path("floor-plans/<int:pk>/file/", floor_plans.floor_plan_file, name="floor-plan-file"),
    path("floor-plans/<int:pk>/places/", floor_plans.floor_plan_places, name="floor-plan-places"),
    path("floor-plans/<int:pk>/confirm/", floor_plans.floor_plan_confirm, name="floor-plan-confirm"),
    path("floor-plans/<int:pk>/withdraw/", floor_plans.floor_plan_withdraw, name="floor-plan-withdraw"),
]

device_list_addresses = [
    path("buildings/<slug:slug>/import/", device_lists.device_list_import, name="device-list-import"),
    path("buildings/<slug:slug>/import/<int:pk>/", device_lists.import_run_detail, name="import-run-detail"),
    path("buildings/<slug:slug>/import/<int:pk>/columns/", device_lists.import_run_columns, name="import-run-columns"),
    path("buildings/<slug:slug>/import/<int:pk>/table/", device_lists.import_run_table, name="import-run-table"),
    path("buildings/<slug:slug>/import/<int:pk>/check/", device_lists.import_run_check, name="import-run-check"),
    path("buildings/<slug:slug>/import/<int:pk>/again/", device_lists.import_run_again, name="import-run-again"),
    path("buildings/<slug:slug>/import/<int:pk>/apply/", device_lists.import_run_apply, name="import-run-apply"),
    path("buildings/<slug:slug>/import/<int:pk>/discard/", device_lists.import_run_discard, name="import-run-discard"),
    path("buildings/<slug:slug>/import/<int:pk>/faults.csv", device_lists.import_run_faults, name="import-run-faults"),
    re_path(
        r"^buildings/(?P<slug>[-\w]+)/device-list\.(?P<extension>csv|xlsx)$",
        device_lists.device_list_export,
        name="device-list-export",
    ),
]

design_addresses = [
    path("panels/<int:pk>/design-check/", design_check.panel_design_check, name="panel-design-check"),
    path("buildings/<slug:slug>/design-check/", design_check.building_design_check, name="building-design-check"),
    path("circuits/<int:pk>/cables/", cable_runs.CircuitRunsView.as_view(), name="circuit-cables"),
    path("lines/<int:pk>/cables/", cable_runs.LineRunsView.as_view(), name="line-cables"),
    path(
        "buildings/<slug:slug>/design-basis/", design_basis.DesignBasisUpdateView.as_view(), name="design-basis-update"
    ),
    path("practice/", design_basis.practice_list, name="practice-list"),
    path("practice/<slug:name>/", design_basis.PracticeUpdateView.as_view(), name="practice-update"),
    path("practice/<slug:name>/default/", design_basis.practice_reset, name="practice-reset"),
]

urlpatterns = (
    calculators.addresses
    + design_addresses
    + panel_addresses
    + port_addresses
    + zone_addresses
    + wiring_addresses
    + record_addresses
    + attachment_addresses
    + floor_plan_addresses
    + device_list_addresses
)
