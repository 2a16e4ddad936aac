"""The page of a position, with what every visit read there; the slopes of all units of a model."""

from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from inspections.due import due_state
from inspections.models import Photo, Protocol, TestPoint, Visit, VisitKind
from inspections.test_points.due_points import dues_of
from inspections.test_points.making import pairs_asked
from inspections.trends.models_page import trends_of_model
from inspections.trends.records import read_rules, readings, trends_of_positions
from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.models import Firm
from zones.models import Position, ProductModel
from zones.positions.views.positions import position_context

BATCH_LENGTH = 40
PHOTOS_SHOWN = 24


@require_safe
def position_detail(request, pk):
    context = position_context(request, pk)
    position = context["position"]
    points = readings(TestPoint.objects.visible_to(request.user).filter(position=position))
    trends = trends_of_positions({position.pk: position}, points, position.building.inspection_interval_months)
    read_rules(trends)
    several = [one for one in trends if not one.is_single]
    context["trends"] = [(one, one.plot(f"trend-{number}")) for number, one in enumerate(several)]
    context["read_once"] = [(one, one.taken[0]) for one in trends if one.is_single]
    context["visit_here"] = Visit.objects.testing_now(position, request.user)
    photos = Photo.objects.visible_to(request.user).of_position(position).standing().for_list()
    newest = list(photos.order_by("-taken_at", "-pk")[: PHOTOS_SHOWN + 1])
    context |= {"photos": newest[:PHOTOS_SHOWN], "has_older_photos": len(newest) > PHOTOS_SHOWN}
    context["dues"] = _dues(position)
    return render(request, "inspections/trends/position_detail.html", context)


def _dues(position):
    """When each check of the periodic inspection is due again here: [(check, last good on, due on, state), …]."""
    protocol = Protocol.objects.in_force().filter(kind=VisitKind.INSPECTION).first()
    if protocol is None or position.retired_on:
        return []
    pairs = pairs_asked(position.building, protocol, Position.objects.filter(pk=position.pk))
    today, soon_days = timezone.localdate(), Firm.current().due_soon_days
    return [
        (check, good_on, due_on, due_state(due_on, today, soon_days))
        for check, good_on, due_on in dues_of(position, pairs)
    ]


@for_roles(*STAFF_ROLES)
@require_safe
def product_model_trends(request, pk):
    """Of one batch where the address names it: `?batch=…`."""
    models = ProductModel.objects.visible_to(request.user).with_maker()
    product_model = get_object_or_404(models, pk=pk)
    batch = request.GET.get("batch", "").replace("\0", "").strip()[:BATCH_LENGTH]
    context = {
        "product_model": product_model,
        "batch": batch,
        "checks": trends_of_model(request.user, product_model, batch),
    }
    return render(request, "inspections/trends/product_model_trends.html", context)
