"""The panel's list of a data link: typed or pasted as a whole, and its entries confirmed for positions."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from sites_registry.access import STAFF_ROLES, for_roles
from zones.editing.pages import ZonesFormPage
from zones.engineering.hazards import Hazard
from zones.models import DataLink, LinkEntry
from zones.panels.data_links import (
    MOST_ENTRIES,
    confirm_by_operating,
    confirm_by_serial,
    set_list,
    take_confirmation_back,
)
from zones.panels.forms.link_lists import ConfirmOperatingForm, ConfirmSerialForm, LinkListForm

OPERATED = f"{Hazard.MOVING.precaution} {Hazard.ALARM.precaution}"
_LINKS = DataLink.objects.select_related("panel__building", "panel__position")
_ENTRIES = LinkEntry.objects.select_related("data_link__panel__building", "data_link__panel__position")


class OnLinkPage(ZonesFormPage):
    """A form about the data link of this address."""

    def get_record(self):
        self.link = get_object_or_404(_LINKS.visible_to(self.request.user), pk=self.kwargs["pk"])
        return None

    def get_trail(self, record):
        return [self.link.panel.building, self.link.panel, self.link]

    def get_back_url(self, record):
        return self.link.get_absolute_url()

    def success_url(self, record):
        return self.link.get_absolute_url()


class LinkListView(OnLinkPage):
    form_class = LinkListForm
    template_name = "zones/panels/link_list_form.html"
    verb = "Save the list"

    def form_arguments(self):
        return {"link": self.link}

    def get_heading(self, record):
        return f"The panel's list of {self.link}"

    def get_context(self, form):
        return {**super().get_context(form), "link": self.link, "most_rows": MOST_ENTRIES}

    def act(self, form):
        self.change = set_list(link=self.link, rows=form.listed)
        return self.link

    def announce(self, record):
        messages.success(self.request, self.change.said)


class ConfirmSerialView(OnLinkPage):
    form_class = ConfirmSerialForm
    template_name = "zones/panels/link_confirm.html"
    verb = "Confirm"

    def get_heading(self, record):
        return f"Confirm call points of {self.link} by serial"

    def get_context(self, form):
        open_entries = list(self.link.entries.filter(position=None).exclude(serial="").order_by("place"))
        return {**super().get_context(form), "open_entries": open_entries, "link": self.link}

    def act(self, form):
        return confirm_by_serial(link=self.link, serial=form.cleaned_data["serial"], by=self.request.user)

    def success_url(self, record):
        """The next serial, as long as one is left."""
        is_left = self.link.entries.filter(position=None).exclude(serial="").exists()
        return self.request.path if is_left else self.link.get_absolute_url()

    def announce(self, record):
        messages.success(
            self.request, f"{record.position} is place {record.place} of the list, confirmed by serial {record.serial}."
        )


class ConfirmOperatingView(OnLinkPage):
    form_class = ConfirmOperatingForm
    template_name = "zones/panels/link_confirm.html"
    verb = "Confirm"

    def get_record(self):
        self.entry = get_object_or_404(_ENTRIES.visible_to(self.request.user), pk=self.kwargs["pk"])
        self.link = self.entry.data_link
        return None

    def form_arguments(self):
        return {"link": self.link, "entry": self.entry, "initial": {"position": self.entry.position_id}}

    def get_heading(self, record):
        return f"Place {self.entry.place} of {self.link}: confirm by operating"

    def get_lead_line(self, record):
        shown = f"number {self.entry.number_given}" if self.entry.number_given else f"place {self.entry.place}"
        return f"Operate one call point after the other until the panel shows {shown}; choose where that was."

    def get_context(self, form):
        return {**super().get_context(form), "link": self.link, "caution": OPERATED}

    def act(self, form):
        return confirm_by_operating(entry=self.entry, position=form.cleaned_data["position"], by=self.request.user)

    def announce(self, record):
        messages.success(self.request, f"{record.position} is place {record.place} of the list, seen by operating it.")


@for_roles(*STAFF_ROLES)
@require_POST
def link_entry_free(request, pk):
    """Take a confirmation back."""
    entry = get_object_or_404(_ENTRIES.visible_to(request.user), pk=pk)
    take_confirmation_back(entry=entry)
    messages.success(request, f"Place {entry.place} of {entry.data_link} is to be confirmed anew.")
    return redirect(reverse("data-link-detail", args=[entry.data_link_id]))
