"""Every record of `zones` hangs on a building; this is how it asks who may see that building."""

from django.db import models

from sites_registry.access import STAFF_ROLES
from sites_registry.models import Building


class BuildingBoundQuerySet(models.QuerySet):
    """Records that hang on one building; `building_path` says by which relation."""

    building_path = "building"

    def visible_to(self, user):
        """Records of the buildings that this person may see."""
        return self.filter(**{f"{self.building_path}__in": Building.objects.visible_to(user)})


class FirmQuerySet(models.QuerySet):
    """Records that belong to the firm, not to a building: product models, instruments, protocols."""

    def visible_to(self, user):
        """The firm's people see all, others nothing."""
        if user.is_authenticated and user.role in STAFF_ROLES:
            return self.all()
        return self.none()
