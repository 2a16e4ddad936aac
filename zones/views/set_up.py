"""The set-up of a building on one page: what is done, what is missing, what comes next."""

from urllib.parse import quote

from django.views.generic import TemplateView

from sites_registry.access import STAFF_ROLES, RoleMixin
from sites_registry.models import Building
from zones.set_up import next_step, steps_of
from zones.views.base import building_of


class BuildingSetUpView(RoleMixin, TemplateView):
    roles = STAFF_ROLES
    template_name = "zones/building_set_up.html"

    def get_context_data(self, **kwargs):
        building = building_of(self.request, self.kwargs["slug"])
        building = Building.objects.with_client().get(pk=building.pk)
        steps = steps_of(building)
        panels = building.panels.select_related("position").order_by("position__tag_key")
        return super().get_context_data(
            building=building, steps=steps, next_step=next_step(steps), panels=panels,
            back=f"?next={quote(self.request.path)}", **kwargs,
        )  # fmt: skip
