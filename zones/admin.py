"""Support pages: look up and correct a record with its history in view. Nobody's daily work needs them."""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from zones import models
from zones.models import Fitting, Maker, Position, ProductModel, Unit


class SupportAdmin(SimpleHistoryAdmin):
    """Records are corrected, never deleted: history is not taken away."""

    list_per_page = 50
    show_full_result_count = False

    def has_delete_permission(self, request, obj=None):
        return False


@admin.register(Maker)
class MakerAdmin(admin.ModelAdmin):
    list_display = ["name"]
    search_fields = ["name"]

    def has_delete_permission(self, request, obj=None):
        return False


@admin.register(ProductModel)
class ProductModelAdmin(SupportAdmin):
    list_display = ["name", "maker", "kind", "is_current"]
    list_filter = ["kind", "is_current"]
    list_select_related = ["maker"]
    search_fields = ["name", "maker__name"]
    autocomplete_fields = ["maker"]

    def get_readonly_fields(self, request, obj=None):
        return ["maker"] if obj else []  # the units keep the maker too: the register's own form takes them along


@admin.register(Position)
class PositionAdmin(SupportAdmin):
    list_display = ["tag", "building", "kind", "storey", "retired_on"]
    list_filter = ["kind"]
    list_select_related = ["building"]
    search_fields = ["tag", "building__name"]
    readonly_fields = ["building"]
    raw_id_fields = [
        "product_model",
        "smoke_zone",
        "vent_group",
        "vent",
        "panel",
        "actuator_circuit",
        "detection_line",
        "data_link",
    ]

    def has_add_permission(self, request):
        return False


@admin.register(Unit)
class UnitAdmin(SupportAdmin):
    list_display = ["serial", "product_model", "batch"]
    list_select_related = ["product_model__maker"]
    search_fields = ["serial", "batch"]
    raw_id_fields = ["product_model"]


@admin.register(Fitting)
class FittingAdmin(SupportAdmin):
    list_display = ["position", "unit", "fitted_on", "removed_on"]
    list_select_related = ["position", "unit"]
    search_fields = ["position__tag", "unit__serial"]
    raw_id_fields = ["position", "unit", "fitted_by", "removed_by"]


class OnBuildingAdmin(SupportAdmin):
    """Panels, zones and wiring: looked up by building; made by the register's own forms, which know the building."""

    def has_add_permission(self, request):
        return False


@admin.register(models.ControlPanel)
class ControlPanelAdmin(OnBuildingAdmin):
    list_display = ["tag", "building", "settings_revision"]
    list_select_related = ["position", "building"]
    search_fields = ["position__tag", "building__name"]
    readonly_fields = ["building", "position"]


@admin.register(models.BatterySet)
class BatterySetAdmin(OnBuildingAdmin):
    list_display = ["panel", "blocks", "capacity_ah", "date_code", "fitted_on", "removed_on"]
    list_select_related = ["panel__position"]
    search_fields = ["panel__position__tag", "panel__building__name", "date_code"]
    readonly_fields = ["panel"]
    raw_id_fields = ["product_model"]


@admin.register(models.PanelSetting)
class PanelSettingAdmin(OnBuildingAdmin):
    list_display = ["name", "value", "unit", "panel"]
    list_select_related = ["panel__position"]
    search_fields = ["name", "panel__building__name"]
    readonly_fields = ["panel"]
    raw_id_fields = ["set_by"]


@admin.register(models.ActuatorCircuit, models.DetectionLine, models.DataLink, models.InputPort)
class OnPanelAdmin(OnBuildingAdmin):
    list_display = ["__str__", "name"]
    list_select_related = ["panel__position"]
    search_fields = ["name", "panel__position__tag", "panel__building__name"]
    readonly_fields = ["panel"]

    def formfield_for_foreignkey(self, db_field, request, **kwargs):
        # By key: the whole register's zones, groups and positions make no list.
        if db_field.name in ("smoke_zone", "vent_group", "starts_at"):
            kwargs["widget"] = admin.widgets.ForeignKeyRawIdWidget(db_field.remote_field, self.admin_site)
        return super().formfield_for_foreignkey(db_field, request, **kwargs)


@admin.register(models.LinkEntry)
class LinkEntryAdmin(OnBuildingAdmin):
    list_display = ["__str__", "serial", "number_given", "position"]
    list_select_related = ["data_link__panel__position", "position"]
    search_fields = ["serial", "data_link__panel__building__name"]
    readonly_fields = ["data_link"]
    raw_id_fields = ["zone_assigned", "position"]


@admin.register(models.InputDevice)
class InputDeviceAdmin(OnBuildingAdmin):
    list_display = ["input_port", "position", "order"]
    list_select_related = ["input_port__panel__position", "position"]
    search_fields = ["position__tag", "input_port__panel__building__name"]
    readonly_fields = ["input_port", "position"]


@admin.register(models.SmokeZone)
class SmokeZoneAdmin(OnBuildingAdmin):
    list_display = ["number", "name", "building", "required_area_m2", "required_area_kind"]
    list_select_related = ["building"]
    search_fields = ["name", "building__name"]
    readonly_fields = ["building"]
    raw_id_fields = ["panel"]


@admin.register(models.VentGroup, models.Vent)
class InZoneAdmin(OnBuildingAdmin):
    list_display = ["__str__", "smoke_zone"]
    list_select_related = ["smoke_zone"]
    search_fields = ["smoke_zone__name", "smoke_zone__building__name"]
    readonly_fields = ["smoke_zone"]


@admin.register(models.Terminal)
class TerminalAdmin(OnBuildingAdmin):
    list_display = ["__str__", "panel", "position", "function", "electrical_kind"]
    list_select_related = ["panel__position", "position"]
    search_fields = ["block", "building__name", "panel__position__tag", "position__tag"]
    readonly_fields = ["panel", "position"]


@admin.register(models.Cable)
class CableAdmin(OnBuildingAdmin):
    list_display = ["tag", "building", "cable_type", "cores_count", "length_m"]
    list_select_related = ["building"]
    search_fields = ["tag", "building__name"]
    readonly_fields = ["building"]


@admin.register(models.Core)
class CoreAdmin(OnBuildingAdmin):
    list_display = ["__str__", "colour", "is_spare"]
    list_select_related = ["cable"]
    search_fields = ["cable__tag", "cable__building__name"]
    readonly_fields = ["cable"]


@admin.register(models.CoreEnd)
class CoreEndAdmin(OnBuildingAdmin):
    list_display = ["core", "end", "terminal"]
    list_select_related = ["core__cable", "terminal"]
    search_fields = ["core__cable__tag", "core__cable__building__name"]
    readonly_fields = ["core", "end", "terminal"]


@admin.register(models.TerminalLink)
class TerminalLinkAdmin(OnBuildingAdmin):
    list_display = ["first", "second", "is_internal"]
    list_select_related = ["first", "second"]
    search_fields = ["first__building__name", "first__block"]
    readonly_fields = ["first", "second"]


@admin.register(models.EndOfLinePart)
class EndOfLinePartAdmin(OnBuildingAdmin):
    list_display = ["first", "second", "kind", "value_ohm"]
    list_select_related = ["first", "second"]
    search_fields = ["first__building__name", "first__block"]
    readonly_fields = ["first", "second"]


@admin.register(models.CauseAndEffectRule)
class CauseAndEffectRuleAdmin(OnBuildingAdmin):
    list_display = ["panel", "cause", "position", "effect", "smoke_zone", "delay_s"]
    list_select_related = ["panel__position", "position", "smoke_zone"]
    search_fields = ["panel__position__tag", "panel__building__name"]
    readonly_fields = ["panel"]
    raw_id_fields = ["position", "smoke_zone", "vent_group"]


@admin.register(models.KeptProof)
class KeptProofAdmin(OnBuildingAdmin):
    list_display = ["panel", "made_at", "states", "digest"]
    list_select_related = ["panel__position"]
    search_fields = ["panel__position__tag", "panel__building__name", "digest"]
    readonly_fields = [field.name for field in models.KeptProof._meta.concrete_fields]


@admin.register(models.ProofToMake)
class ProofToMakeAdmin(OnBuildingAdmin):
    list_display = ["panel", "asked_at", "begun_at", "failed_at", "states"]
    list_select_related = ["panel__position"]
    search_fields = ["panel__position__tag", "panel__building__name"]
    readonly_fields = [field.name for field in models.ProofToMake._meta.concrete_fields]


@admin.register(models.FloorPlan)
class FloorPlanAdmin(OnBuildingAdmin):
    list_display = ["__str__", "building", "is_in_force", "added_at"]
    list_select_related = ["building"]
    search_fields = ["storey", "title", "building__name"]
    readonly_fields = ["building", "storey", "file", "picture"]


@admin.register(models.PlanPlace)
class PlanPlaceAdmin(OnBuildingAdmin):
    list_display = ["__str__", "x", "y", "placed_at", "confirmed_at"]
    list_select_related = ["position", "plan"]
    search_fields = ["position__tag", "plan__building__name"]
    readonly_fields = ["plan", "position"]
