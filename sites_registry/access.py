"""Who may do what starts here: roles, the guard for acting views, the base for reading views."""

from functools import wraps

from django.core.exceptions import PermissionDenied
from django.db import models


class Role(models.TextChoices):
    OFFICE = "office", "office staff"
    ENGINEER = "engineer", "service engineer"
    MANAGER = "manager", "building manager"


STAFF_ROLES = (Role.OFFICE, Role.ENGINEER)


def for_roles(*roles):
    """Let only these roles into a view; outermost, so that the role is checked before method and id.

    Works on view functions and, through `RoleMixin`, on classes. Others get 403.
    """

    def decorate(view):
        @wraps(view)
        def guarded(request, *args, **kwargs):
            if request.user.role not in roles:
                raise PermissionDenied
            return view(request, *args, **kwargs)

        return guarded

    return decorate


class RoleMixin:
    """For class-based views: `roles = (Role.OFFICE,)`; others get 403 before anything is read."""

    roles = tuple(Role)

    def dispatch(self, request, *args, **kwargs):
        if request.user.role not in self.roles:
            raise PermissionDenied
        return super().dispatch(request, *args, **kwargs)


class VisibleMixin:
    """For class-based views: the queryset starts from what this person may see."""

    def get_queryset(self):
        return super().get_queryset().visible_to(self.request.user)


def typed_username(request, credentials=None):
    """The e-mail as the log-in compares it: tried in another case, it still counts as the same for the lock-out."""
    typed = (credentials or {}).get("username") or (request and request.POST.get("username")) or ""
    return typed.strip().lower()
