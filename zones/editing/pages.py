"""What the pages of `zones` share: who edits, how a service's refusal is told, how a mistake is removed."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect
from django.views import View

from sites_registry.access import STAFF_ROLES, RoleMixin
from sites_registry.models import Building
from sites_registry.views.base import FormPage, local_next
from zones.editing.forms import tell
from zones.editing.removal import StillInUse, remove_mistake


def may_edit(request):
    """Whether this person sees the links to forms; the forms themselves check the role again."""
    return request.user.role in STAFF_ROLES


def building_of(request, slug):
    return get_object_or_404(Building.objects.visible_to(request.user), slug=slug)


class ZonesFormPage(FormPage):
    """A form page for the firm's people. A ValidationError of a service is told at its field, nothing is changed."""

    roles = STAFF_ROLES

    def take_up(self):
        super().take_up()
        # As stored: while a form is being corrected, the record holds what is typed.
        self.stored_name = "" if self.makes_new else str(self.record)

    def get_context(self, form):
        return {**super().get_context(form), "stored_name": self.stored_name}

    def act(self, form):
        """Do what the form asks for; returns the record."""
        return form.save()

    def perform(self, form):
        try:
            return self.act(form)
        except ValidationError as error:
            tell(form, error)
            return None


class RemovePage(RoleMixin, View):
    """POST only: take out a record that was made by mistake and that nothing uses. Subclasses give `queryset`."""

    roles = STAFF_ROLES
    http_method_names = ["post"]
    queryset = None

    def post(self, request, pk):
        record = get_object_or_404(self.queryset.visible_to(request.user), pk=pk)
        name, url = str(record), self.get_back_url(record)
        try:
            remove_mistake(record=record)
        except StillInUse as error:
            for reason in error.reasons:
                messages.error(request, reason)
        else:
            messages.success(request, f"{name} removed.")
        return redirect(local_next(request) or url)

    def get_back_url(self, record):
        return record.get_absolute_url()
