"""A small system in one step: choose what it is like, answer one page, look at all that would be made, make it."""

from django.contrib import messages
from django.http import Http404
from django.urls import reverse
from django.views.generic import TemplateView

from sites_registry.access import STAFF_ROLES, RoleMixin
from sites_registry.views.base import TrailPage
from zones.editing.pages import ZonesFormPage, building_of
from zones.models import ProductModel
from zones.small_systems.descriptions import small_systems
from zones.small_systems.forms import SmallSystemForm
from zones.small_systems.making import make_small_system
from zones.small_systems.preview import preview_of


def _places(building):
    return TrailPage("Small systems", reverse("small-system-list", args=[building.slug]))


class SmallSystemListView(RoleMixin, TemplateView):
    """The systems as described, with what each makes."""

    roles = STAFF_ROLES
    template_name = "zones/small_systems/small_system_list.html"

    def get_context_data(self, **kwargs):
        building = building_of(self.request, self.kwargs["slug"])
        return super().get_context_data(
            building=building, systems=small_systems().values(), has_models=ProductModel.objects.exists(), **kwargs
        )


class SmallSystemView(ZonesFormPage):
    """Answers, then a preview of what they make (made, read and rolled back); the second button keeps it."""

    form_class = SmallSystemForm
    template_name = "zones/small_systems/small_system.html"
    verb = "Show all that would be made"
    saved_message = "Panel {record} is made with everything that the preview showed. Check it against what is on site."
    preview = None
    has_changed = False

    def get_record(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        self.system = small_systems().get(self.kwargs["system"])
        if self.system is None:
            raise Http404
        return None

    def form_arguments(self):
        return {"building": self.building, "system": self.system}

    def get_heading(self, record):
        return self.system.name

    def get_lead_line(self, record):
        return self.system.words

    def get_trail(self, record):
        return [self.building, _places(self.building)]

    def get_back_url(self, record):
        return reverse("small-system-list", args=[self.building.slug])

    def act(self, form):
        made = make_small_system(building=self.building, system=self.system, answers=form.answers())
        preview = preview_of(made)
        if "keep" in self.request.POST:
            if self.request.POST.get("seen") == preview.digest:
                return made.panel
            self.has_changed = True  # answers, or the building, since the preview: shown again first
        self.preview = preview
        return None

    def get_context(self, form):
        return {
            **super().get_context(form),
            "building": self.building,
            "preview": self.preview,
            "has_changed": self.has_changed,
            "back_url": self.get_back_url(None),
        }

    def announce(self, record):
        messages.success(self.request, self.saved_message.format(record=record.tag))
