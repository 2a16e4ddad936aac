"""For what watches over the register: whether it lives, whether it can answer. Nothing here is secret."""

from django.contrib.auth.decorators import login_not_required
from django.http import JsonResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from sites_registry.readiness import hours_since_backup, readiness


@login_not_required
@never_cache
@require_safe
def health(request):
    """The process answers; asked of nothing else, so that a slow database restarts no server."""
    return JsonResponse({"is_alive": True})


@login_not_required
@never_cache
@require_safe
def ready(request):
    """200 when people can be sent here, 503 with a sentence on each thing that hinders."""
    found = readiness()
    is_ready = not any(found.values())
    answer = {
        "is_ready": is_ready,
        "checks": {name: words or "well" for name, words in found.items()},
        "hours_since_backup": hours_since_backup(),
    }
    return JsonResponse(answer, status=200 if is_ready else 503)
