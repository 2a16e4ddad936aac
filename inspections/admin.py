"""Support pages of visits, defects and protocols. Results are read only: a correction is a further result."""

from django.contrib import admin

from inspections.models import (
    Defect,
    LedgerEntry,
    Photo,
    Protocol,
    ProtocolCheck,
    Result,
    SettingFound,
    TestPoint,
    Visit,
)
from zones.admin import SupportAdmin


class ReadOnlyAdmin(admin.ModelAdmin):
    """What was recorded is looked up here, never changed."""

    list_per_page = 50
    show_full_result_count = False

    def has_add_permission(self, request, obj=None):
        return False

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False


@admin.register(Visit)
class VisitAdmin(SupportAdmin):
    list_display = ["pk", "building", "kind", "planned_on", "engineer", "state"]
    list_filter = ["state", "kind"]
    list_select_related = ["building", "engineer"]
    search_fields = ["building__name"]
    readonly_fields = ["building", "job", "kind", "state", "protocol", "started_at", "finished_at", "called_off_reason"]

    def has_add_permission(self, request):
        return False


@admin.register(Defect)
class DefectAdmin(SupportAdmin):
    list_display = ["pk", "building", "position", "severity", "found_at", "closed_at"]
    list_filter = ["severity"]
    list_select_related = ["building", "position"]
    search_fields = ["building__name", "description"]
    readonly_fields = [
        "building",
        "position",
        "found_on",
        "found_by_result",
        "found_at",
        "found_by",
        "closed_at",
        "closed_by_result",
        "closed_by_setting",
        "closing_note",
    ]

    def has_add_permission(self, request):
        return False


@admin.register(TestPoint)
class TestPointAdmin(ReadOnlyAdmin):
    list_display = ["visit", "position", "title", "latest_result"]
    list_select_related = ["visit", "position", "latest_result__test_point__position"]
    search_fields = ["position__tag", "title"]


@admin.register(Result)
class ResultAdmin(ReadOnlyAdmin):
    list_display = ["test_point", "outcome", "reading", "recorded_by", "seen_at", "received_at"]
    list_filter = ["outcome"]
    list_select_related = ["test_point__position", "recorded_by"]
    search_fields = ["client_uuid", "test_point__position__tag"]


@admin.register(SettingFound)
class SettingFoundAdmin(ReadOnlyAdmin):
    list_display = ["name", "panel", "visit", "answer", "found", "recorded_by", "recorded_at"]
    list_filter = ["answer"]
    list_select_related = ["panel__position", "visit", "recorded_by"]
    search_fields = ["name", "visit__building__name"]


class ProtocolCheckInline(admin.TabularInline):
    model = ProtocolCheck
    fields = ["device_kind", "code", "title", "quantity", "unit", "lower_limit", "upper_limit"]
    extra = 0
    can_delete = False

    def has_add_permission(self, request, obj=None):
        return False

    def has_change_permission(self, request, obj=None):
        return False


@admin.register(Protocol)
class ProtocolAdmin(ReadOnlyAdmin):
    list_display = ["title", "kind", "version", "state", "published_on"]
    list_filter = ["kind", "state"]
    inlines = [ProtocolCheckInline]


@admin.register(LedgerEntry)
class LedgerEntryAdmin(ReadOnlyAdmin):
    list_display = ["number", "kind", "named", "entered_at", "is_later", "digest"]
    list_filter = ["kind", "is_later"]
    search_fields = ["named", "digest"]


@admin.register(Photo)
class PhotoAdmin(ReadOnlyAdmin):
    list_display = ["pk", "visit", "caption", "taken_by", "taken_at", "received_at", "withdrawn_at"]
    list_select_related = ["visit", "taken_by"]
    search_fields = ["client_uuid", "sha256", "caption", "visit__building__name"]
