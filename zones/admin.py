"""Support pages: look up and correct a record with its history in view. Nobody's daily work needs them."""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from zones.models import Fitting, Maker, Position, ProductModel, Unit


class SupportAdmin(SimpleHistoryAdmin):
    """Records are corrected, never deleted: history is not taken away."""

    list_per_page = 50
    show_full_result_count = False

    def has_delete_permission(self, request, obj=None):
        return False

    def save_model(self, request, obj, form, change):
        """Count the version up, so that somebody with the record open in the register is told."""
        if change and hasattr(obj, "row_version"):
            obj.row_version += 1
        super().save_model(request, obj, form, change)


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
        "product_model", "smoke_zone", "vent_group", "vent", "panel", "actuator_circuit", "detection_line",
    ]  # fmt: skip

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
