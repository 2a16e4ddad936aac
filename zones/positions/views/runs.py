"""A run of like positions, walking order, giving up and taking back."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.models import Building
from sites_registry.views.base import FormPage
from zones.models import Position
from zones.positions.edits import (
    add_run,
    clashes_of,
    number_walk,
    reasons_not_to_retire,
    retire,
    sorted_by_place,
    take_back,
)
from zones.positions.forms.positions import GiveUpForm, PositionRunForm, start_of_run
from zones.positions.views.positions import BuildingMixin, PositionsOf
from zones.positions.walk import stretches_of


class PositionRunView(BuildingMixin, FormPage):
    """Make a run. GET with the fields in the address shows the tags that it would make, and changes nothing."""

    roles = STAFF_ROLES
    form_class = PositionRunForm
    template_name = "zones/positions/position_run.html"
    verb = "Make positions"

    @property
    def start(self):
        """The position that the run is like, when the address names one of this building."""
        if not hasattr(self, "_start"):
            key = self.request.GET.get("like", "")
            of_building = Position.objects.filter(building=self.building)
            self._start = of_building.filter(pk=key).first() if key.isdecimal() and len(key) < 19 else None
        return self._start

    def form_arguments(self):
        return {"building": self.building, "initial": start_of_run(self.start) if self.start else {}}

    def get(self, request, *args, **kwargs):
        self.take_up()
        form = self.make_form(data=request.GET) if "prefix" in request.GET else self.make_form()
        if request.htmx and form.is_bound:
            return render(request, "zones/positions/position_run_preview.html", self.get_context(form))
        return self.show(form)

    def get_heading(self, record):
        return f"Duplicate {self.start} as a run" if self.start else "Add a run of positions"

    def get_trail(self, record):
        return [self.building, PositionsOf(self.building), *([self.start] if self.start else [])]

    def get_back_url(self, record):
        return reverse("position-list", args=[self.building.slug])

    def get_context(self, form):
        form.errors  # noqa: B018 - asks for cleaning, so that the tags are known
        tags = form.tags()
        clashes = clashes_of(building=self.building, tags=tags) if tags else []
        return {
            **super().get_context(form),
            "building": self.building,
            "tags": tags,
            "clashes": clashes,
        }

    def perform(self, form):
        self.made = add_run(pattern=form.instance, tags=form.tags(), after=self.start)
        return self.made[0]

    def success_url(self, record):
        return reverse("position-list", args=[self.building.slug])

    def announce(self, record):
        text = f"{len(self.made)} positions made: {self.made[0]} to {self.made[-1]}."
        messages.success(self.request, text if len(self.made) > 1 else f"Position {record} made.")


class PositionRetireView(FormPage):
    roles = STAFF_ROLES
    form_class = GiveUpForm
    template_name = "zones/positions/position_retire.html"
    verb = "Take the position out of use"
    saved_message = "Position {record} is no longer used. Its history stays."

    def get_record(self):
        positions = Position.objects.visible_to(self.request.user).select_related("building", "control_panel")
        self.position = get_object_or_404(positions, pk=self.kwargs["pk"])
        return None

    def get_heading(self, record):
        return f"Take out of use: position {self.position}"

    def get_trail(self, record):
        return [self.position.building, PositionsOf(self.position.building), self.position]

    def get_back_url(self, record):
        return self.position.get_absolute_url()

    def get_context(self, form):
        return {
            **super().get_context(form),
            "position": self.position,
            "has_unit": self.position.fittings.open().exists(),
            "hindrances": reasons_not_to_retire(self.position),
        }

    def perform(self, form):
        typed = form.cleaned_data
        return retire(position=self.position, retired_on=typed["day"], reason=typed["reason"])


@for_roles(*STAFF_ROLES)
@require_POST
def position_take_back(request, pk):
    position = get_object_or_404(Position.objects.visible_to(request.user), pk=pk)
    take_back(position=position)
    messages.success(request, f"Position {position} is in use again.")
    return redirect(position)


@for_roles(*STAFF_ROLES)
def walking_order(request, slug):
    """Positions in the order in which one walks; numbers may be typed, rows moved by one, or all sorted by storey."""
    building = get_object_or_404(Building.objects.visible_to(request.user), slug=slug)
    positions = list(building.positions.in_use().in_walking_order())
    if request.method == "POST":
        number_walk(building=building, positions=_new_order(positions, request.POST))
        moved = request.POST.get("up") or request.POST.get("down")
        if not moved:
            messages.success(request, "Walking order saved.")
        anchor = f"#position-{moved}" if moved and moved.isdecimal() else ""
        return redirect(reverse("walking-order", args=[slug]) + anchor)
    return render(
        request,
        "zones/positions/walking_order.html",
        {"building": building, "stretches": stretches_of(positions), "positions_page": PositionsOf(building)},
    )


def _new_order(positions, typed):
    if typed.get("sort") in ("up", "down"):
        return sorted_by_place(positions, from_the_top=typed["sort"] == "down")
    order = sorted(positions, key=lambda position: _number_typed(position, typed))  # stable: ties keep their order
    for word, step in (("up", -1), ("down", 1)):
        place = next((place for place, position in enumerate(order) if str(position.pk) == typed.get(word)), None)
        if place is not None and 0 <= place + step < len(order):
            order[place], order[place + step] = order[place + step], order[place]
    return order


def _number_typed(position, typed):
    """The number typed for a position; what cannot be read leaves it where it is."""
    text = typed.get(f"number-{position.pk}", "")
    return float(text) if text.isascii() and text.isdecimal() and len(text) < 10 else position.walking_order
