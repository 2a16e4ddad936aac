"""The set-up of a building on one page: what is done, what is missing, what comes next."""

from urllib.parse import quote

from django.views.generic import TemplateView

from sites_registry.access import STAFF_ROLES, RoleMixin
from sites_registry.models import Building
from zones.editing.pages import building_of
from zones.panels.set_up import next_step, steps_of


class BuildingSetUpView(RoleMixin, TemplateView):
    roles = STAFF_ROLES
    template_name = "zones/panels/building_set_up.html"

    def get_context_data(self, **kwargs):
        building = building_of(self.request, self.kwargs["slug"])
        building = Building.objects.with_client().get(pk=building.pk)
        steps = steps_of(building, self.request.user)
        for step in steps:
            step.add_url = self.and_back(step.add_url)
            step.more = [(self.and_back(url), word) for url, word in step.more]
        return super().get_context_data(building=building, steps=steps, next_step=next_step(steps), **kwargs)

    def and_back(self, url):
        """The form's address with the way back to this page."""
        if not url:
            return ""
        return f"{url}{'&' if '?' in url else '?'}next={quote(self.request.path)}"
