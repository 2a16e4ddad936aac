"""Support pages over people, clients, buildings and jobs: look, compare with the history, mend a log-in.

None of the three people needs them. Records are made and changed on the register's own pages, where the rules are.
"""

from django.contrib import admin
from simple_history.admin import SimpleHistoryAdmin

from sites_registry.models import (
    Building,
    Client,
    Contact,
    Counter,
    Firm,
    HandedOverDocument,
    Instrument,
    Invitation,
    Job,
    KeptFile,
    Mail,
    Person,
    Qualification,
    Submission,
    Variation,
)

admin.site.site_header = "Smoke control register: support"
admin.site.site_title = "Support"
admin.site.index_title = "Records"


class ReadOnly:
    """Everything may be looked at, nothing added, changed or deleted here."""

    def has_add_permission(self, request, obj=None):
        return False

    def has_change_permission(self, request, obj=None):
        return False

    def has_delete_permission(self, request, obj=None):
        return False


class RecordAdmin(ReadOnly, SimpleHistoryAdmin):
    """A record with its history."""


@admin.register(Person)
class PersonAdmin(RecordAdmin):
    """Support switches log-ins and support access on and off; all else is the office's, on its own page."""

    list_display = ["full_name", "email", "role", "is_active", "is_staff", "last_login"]
    list_filter = ["role", "is_active", "is_staff"]
    search_fields = ["full_name", "email"]
    fields = [
        "full_name",
        "email",
        "role",
        "phone",
        "competence",
        "competence_expires_on",
        "is_active",
        "is_staff",
        "is_superuser",
        "last_login",
        "joined_at",
    ]
    may_change = {"is_active", "is_staff", "email"}

    def has_change_permission(self, request, obj=None):
        return request.user.is_active and request.user.is_superuser

    def get_readonly_fields(self, request, obj=None):
        own = {"is_active", "is_staff"} if obj and obj.pk == request.user.pk else set()
        return [name for name in self.fields if name not in self.may_change - own]

    def save_model(self, request, obj, form, change):
        obj.email = obj.email.lower()
        super().save_model(request, obj, form, change)


@admin.register(Mail)
class MailAdmin(ReadOnly, admin.ModelAdmin):
    list_display = ["queued_at", "kind", "address", "subject", "state", "tries"]
    list_filter = ["state", "kind"]


@admin.register(Client)
class ClientAdmin(RecordAdmin):
    list_display = ["name", "email", "phone"]
    search_fields = ["name", "address"]


@admin.register(Contact)
class ContactAdmin(RecordAdmin):
    list_display = ["name", "client", "function", "email"]
    list_select_related = ["client"]
    search_fields = ["name", "email", "client__name"]


@admin.register(Building)
class BuildingAdmin(RecordAdmin):
    list_display = ["name", "client", "use", "country", "storeys", "slug"]
    list_filter = ["use", "country"]
    list_select_related = ["client"]
    search_fields = ["name", "slug", "address", "client__name"]


@admin.register(Job)
class JobAdmin(RecordAdmin):
    list_display = ["number", "building", "kind", "opened_on", "closed_on"]
    list_filter = ["kind", "closed_on"]
    list_select_related = ["building"]
    search_fields = ["number", "building__name", "scope"]
    readonly_fields = ["number", "closed_on"]


@admin.register(Variation)
class VariationAdmin(RecordAdmin):
    list_display = ["what", "building", "agreed_by", "agreed_on", "removed_on"]
    list_select_related = ["building"]
    search_fields = ["what", "why", "building__name"]


@admin.register(HandedOverDocument)
class HandedOverDocumentAdmin(RecordAdmin):
    list_display = ["title", "job", "kind", "language", "handed_over_on"]
    list_filter = ["kind"]
    list_select_related = ["job"]
    search_fields = ["title", "job__number"]


@admin.register(Instrument)
class InstrumentAdmin(RecordAdmin):
    list_display = ["name", "own_number", "serial"]
    search_fields = ["name", "own_number", "serial"]


@admin.register(Qualification)
class QualificationAdmin(RecordAdmin):
    list_display = ["title", "person", "subject", "obtained_on"]
    list_select_related = ["person"]
    search_fields = ["title", "person__full_name"]


@admin.register(Firm)
class FirmAdmin(RecordAdmin):
    list_display = ["name", "phone", "email"]


@admin.register(Invitation)
class InvitationAdmin(ReadOnly, admin.ModelAdmin):
    list_display = ["full_name", "email", "role", "invited_at", "expires_at", "accepted_at", "withdrawn_at"]
    list_filter = ["role"]
    search_fields = ["full_name", "email"]
    exclude = ["token_hash"]


@admin.register(Submission)
class SubmissionAdmin(ReadOnly, admin.ModelAdmin):
    list_display = ["key", "person", "led_to", "taken_at"]
    list_select_related = ["person"]


@admin.register(KeptFile)
class KeptFileAdmin(ReadOnly, admin.ModelAdmin):
    list_display = ["name", "size_bytes", "sha256", "kept_at", "is_recorded_later"]
    search_fields = ["name", "sha256"]


@admin.register(Counter)
class CounterAdmin(ReadOnly, admin.ModelAdmin):
    list_display = ["series", "last_number"]
