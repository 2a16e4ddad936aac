"""Floor plans of a building: the list of storeys, one plan with its positions, adding a revision, placing."""

import json

from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.cache import get_conditional_response
from django.utils.http import quote_etag
from django.views.decorators.http import require_GET, require_POST

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.downloads import download
from sites_registry.services.refusals import Refused
from sites_registry.views.base import FormPage, TrailPage, for_change
from sites_registry.words import counted
from zones.editing.pages import building_of, may_edit
from zones.files.attachments import check_size
from zones.floor_plans.forms import FloorPlanChangeForm, FloorPlanForm, PlaceForm, moves_in, run_in
from zones.floor_plans.keeping import add_floor_plan, change_floor_plan, take_out_of_force
from zones.floor_plans.pins import PlanDrawing, pin_to_place
from zones.floor_plans.places import Move, change_places, confirm_places, moves_of_run
from zones.floor_plans.rasterising import PlanRefused, plan_picture
from zones.floor_plans.records import changes_of_places, plan_record, storeys_of
from zones.models import FloorPlan


def plan_of(request, pk):
    """The visible plan of this address with its building, or 404."""
    return get_object_or_404(FloorPlan.objects.visible_to(request.user).select_related("building", "added_by"), pk=pk)


@require_GET
def floor_plan_list(request, slug):
    """The storeys of a building: which has a plan, how many of its positions are placed."""
    building = building_of(request, slug)
    context = {"building": building, "rows": storeys_of(building), "may_edit": may_edit(request)}
    return render(request, "zones/floor_plans/floor_plan_list.html", context)


@require_GET
def floor_plan_detail(request, pk):
    plan = plan_of(request, pk)
    return _page(request, plan)


def _page(request, plan, place_form=None, status=200):
    record = plan_record(plan)
    may_place = may_edit(request) and plan.is_in_force
    revisions = list(FloorPlan.objects.of_storey(plan.building, plan.storey).select_related("added_by"))
    context = {
        "plan": plan,
        "building": plan.building,
        "record": record,
        "drawing": PlanDrawing(plan, [pin_to_place(place) for place in record.placed]),
        "revisions": revisions,
        "others": [row for row in storeys_of(plan.building) if row.plan and row.plan != plan],
        "may_place": may_place,
        "may_edit": may_edit(request),
        "changes": changes_of_places(plan) if may_edit(request) else None,
        "place_form": place_form,
        "plan_data": _plan_data(plan, record) if may_place else None,
    }
    return render(request, "zones/floor_plans/floor_plan_detail.html", context, status=status)


def _plan_data(plan, record):
    """What the script that places positions needs."""
    return {
        "places_url": reverse("floor-plan-places", args=[plan.pk]),
        "positions": [
            *(_position_data(place.position, place) for place in record.placed),
            *(_position_data(position) for position in record.unplaced),
        ],
    }


def _position_data(position, place=None):
    """A position with its place, and what its pin shows once it has one."""
    symbol = position.facts.symbol
    return {
        "id": position.pk,
        "tag": position.tag,
        "x": place and place.x,
        "y": place and place.y,
        "version": place and place.row_version,
        "url": position.get_absolute_url(),
        "said": f"{position.tag}, {position.get_kind_display()}",
        "shape": symbol.shape.value,
        "letters": position.facts.tag_prefix,
    }


@require_GET
def floor_plan_picture(request, pk):
    """The picture under the pins. A browser keeps it and asks each time whether this person may still see it."""
    plan = plan_of(request, pk)
    etag = quote_etag(f"{plan.sha256[:32]}-{plan.page_number}")
    name = f"floor-plan-{plan.pk}.{plan.picture_type[6:]}"
    kept = get_conditional_response(request, etag=etag)
    response = kept or _file(plan.picture, plan.picture_type, name)
    response["ETag"] = etag
    response["Cache-Control"] = "private, no-cache"
    return response


@require_GET
def floor_plan_file(request, pk):
    """The drawing as it was uploaded, under the name it came with."""
    plan = plan_of(request, pk)
    return _file(plan.file, plan.media_type, plan.file_name)


def _file(stored, media_type, name):
    content = default_storage.read_whole(stored.name)  # at most settings.UPLOAD_LIMIT_MB
    return download(content, media_type, name, inline=True, is_uploaded=True)


class FloorPlanCreate(FormPage):
    """Add the plan of a storey, or a further revision of it."""

    roles = STAFF_ROLES
    form_class = FloorPlanForm
    template_name = "zones/floor_plans/floor_plan_form.html"
    heading = "Add a floor plan"
    verb = "Add the plan"
    saved_message = "Added: {record}."

    def get_record(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        return None

    def form_arguments(self):
        storeys = [row.storey for row in storeys_of(self.building) if row.storey]
        return {"storeys": storeys, "initial": {"storey": self.request.GET.get("storey", "")[:40]}}

    def get_trail(self, record):
        url = reverse("floor-plan-list", args=[self.building.slug])
        return [self.building, TrailPage("Floor plans", url)]

    def get_lead_line(self, record):
        return "A plan of a storey that has one already becomes its next revision; places are carried over."

    def get_back_url(self, record):
        return reverse("floor-plan-list", args=[self.building.slug])

    def post(self, request, *args, **kwargs):
        """The picture is drawn first: it takes seconds, in which the transaction of a form lets nobody write."""
        building_of(request, kwargs["slug"])
        self.drawn = self.refusal = None
        form = FloorPlanForm(request.POST, request.FILES)
        if form.is_valid():
            self.drawn = self._drawn(form.cleaned_data["file"], form.cleaned_data["page_number"])
        return super().post(request, *args, **kwargs)

    def _drawn(self, file, page):
        try:
            check_size(file.name, file.size)
            return plan_picture(file.read(), page=page)
        except Refused as refusal:
            self.refusal = refusal  # told at its field
            return None
        finally:
            file.seek(0)

    def perform(self, form):
        if self.refusal:
            raise self.refusal
        cleaned = form.cleaned_data
        return add_floor_plan(
            building=self.building,
            storey=cleaned["storey"],
            name=cleaned["file"].name,
            content=cleaned["file"].read(),
            picture=self.drawn,
            page=cleaned["page_number"],
            title=cleaned["title"],
            drawn_on=cleaned["drawn_on"],
            by=self.request.user,
        )


class FloorPlanUpdate(FormPage):
    """Correct storey, title and date; the drawing itself is another revision."""

    roles = STAFF_ROLES
    form_class = FloorPlanChangeForm
    template_name = "zones/floor_plans/floor_plan_form.html"
    heading = "Change what is said of a floor plan"
    verb = "Save"
    saved_message = "Saved: {record}."

    def get_record(self):
        return for_change(FloorPlan.objects.all(), self.request, pk=self.kwargs["pk"])

    def form_arguments(self):
        return {"storeys": [row.storey for row in storeys_of(self.record.building) if row.storey]}

    def get_trail(self, record):
        return [record.building, record]

    def get_lead_line(self, record):
        return "Another storey takes all revisions of the plan with it."

    def perform(self, form):
        said = {name: form.cleaned_data[name] for name in ("storey", "title", "drawn_on")}
        return change_floor_plan(plan=form.instance, by=self.request.user, **said)


@for_roles(*STAFF_ROLES)
@require_POST
def floor_plan_places(request, pk):
    """Place, move or take off: as JSON by the page's script, or one position from its form."""
    plan = plan_of(request, pk)
    if request.content_type != "application/json":
        return _placed_by_form(request, plan)
    try:
        body = json.loads(request.body)
        moves = moves_of_run(plan, **run_in(body["run"])) if "run" in body else moves_in(body)
    except (ValueError, TypeError, RecursionError):
        return JsonResponse({"message": "This could not be read. Nothing was stored."}, status=400)
    except PlanRefused as refusal:
        return JsonResponse({"message": str(refusal)}, status=422)
    try:
        places = change_places(plan=plan, by=request.user, moves=moves)
    except PlanRefused as refusal:
        status = 409 if refusal.field == "conflict" else 422
        return JsonResponse({"message": str(refusal), "places": _places(plan.places.all())}, status=status)
    return JsonResponse({"places": _places(places)})


def _places(places):
    return [{"id": one.position_id, "x": one.x, "y": one.y, "version": one.row_version} for one in places]


def _placed_by_form(request, plan):
    form = PlaceForm(request.POST)
    if form.is_valid():
        cleaned = form.cleaned_data
        place = plan.places.filter(position=cleaned["position"]).first()
        move = Move(
            cleaned["position"],
            cleaned["x_percent"] / 100,
            cleaned["y_percent"] / 100,
            place.row_version if place else None,
        )
        try:
            change_places(plan=plan, by=request.user, moves=[move])
        except PlanRefused as refusal:
            form.add_error(None, refusal.reasons)
        else:
            messages.success(request, "Placed.")
            return redirect(plan)
    return _page(request, plan, place_form=form, status=422)


@for_roles(*STAFF_ROLES)
@require_POST
def floor_plan_confirm(request, pk):
    """Confirm carried-over places: the one that `position` names, all where it is not sent."""
    plan = plan_of(request, pk)
    text = request.POST.get("position")
    named = None if text is None else [int(text)] if text.isascii() and text.isdigit() and len(text) < 16 else []
    try:
        count = confirm_places(plan=plan, by=request.user, position_pks=named)
    except PlanRefused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, f"{counted(count, 'places')} confirmed.")
    return redirect(plan)


@for_roles(*STAFF_ROLES)
@require_POST
def floor_plan_withdraw(request, pk):
    """Take a plan out of force: its storey has none until another is added."""
    plan = take_out_of_force(plan=plan_of(request, pk), by=request.user)
    messages.success(request, f"{plan} is not in force any more. It stays on record.")
    return redirect("floor-plan-list", plan.building.slug)
