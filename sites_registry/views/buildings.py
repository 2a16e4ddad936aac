"""Buildings: the list, the particulars, who manages them. The page of a building is in inspections/."""

import django_filters
import django_tables2 as tables
from django.contrib import messages
from django.db.models import Q
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse, reverse_lazy
from django.utils.html import format_html
from django.views.decorators.http import require_http_methods, require_POST

from sites_registry.access import Role, for_roles
from sites_registry.forms.buildings import AssignManagerForm, BuildingForm, NewBuildingForm
from sites_registry.models import Building, Client, Person
from sites_registry.services.buildings import ManagerRefused, assign_manager, register_building, remove_manager
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import ListPage, RegisterTable, number_column


class BuildingFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(label="Name or address", method="named")
    client = django_filters.ModelChoiceFilter(
        label="Client", queryset=lambda request: Client.objects.visible_to(request.user), empty_label="all"
    )
    use = django_filters.ChoiceFilter(label="Use", choices=Building.Use.choices, empty_label="all")

    class Meta:
        model = Building
        fields = []

    def named(self, buildings, name, value):
        return buildings.filter(Q(name__icontains=value) | Q(address__icontains=value))


class BuildingTable(RegisterTable):
    noun = "buildings"
    name = tables.Column(linkify=True)
    client = tables.Column(order_by=("client__name", "name"))
    use = tables.Column()
    storeys = number_column()

    class Meta(RegisterTable.Meta):
        order_by = "name"


class BuildingList(ListPage):
    queryset = Building.objects.with_client()
    table_class = BuildingTable
    filterset_class = BuildingFilter
    heading = "Buildings"
    add_url_name = "building-create"
    add_word = "Add a building"

    @property
    def empty_text(self):
        if self.request.user.is_manager:
            return "No building is assigned to you. Ask the office that invited you."
        return "No building yet. Add the first; a client can be registered with it."


def next_steps(building):
    """What follows in the register flow, as links for the message under which the building appears."""
    add_job = format_html('<a href="{}?building={}">Add a job</a>', reverse("job-create"), building.slug)
    set_up = format_html('<a href="{}">Set up panels and zones</a>', reverse("building-set-up", args=[building.slug]))
    return format_html("{} · {}", add_job, set_up)


class BuildingCreate(FormPage):
    form_class = NewBuildingForm
    template_name = "sites_registry/building_form.html"
    list_url = reverse_lazy("building-list")
    heading = "Add a building"
    verb = "Add the building"
    list_word = "Buildings"

    def get_back_url(self, record):
        return reverse("building-list")

    def form_arguments(self):
        pk = self.request.GET.get("client", "")
        return {"initial": {"client": int(pk) if pk.isascii() and pk.isdecimal() and len(pk) < 10 else None}}

    def perform(self, form):
        return register_building(
            building=form.save(commit=False), new_client_name=form.cleaned_data["new_client_name"].strip()
        )

    def announce(self, record):
        messages.success(self.request, format_html("{} is registered. Next: {}", record.name, next_steps(record)))


class BuildingUpdate(FormPage):
    form_class = BuildingForm
    template_name = "sites_registry/building_form.html"
    heading = "Change the particulars"
    saved_message = "{record.name} is changed."

    def get_record(self):
        return for_change(Building.objects, self.request, slug=self.kwargs["slug"])

    def get_trail(self, record):
        return [_stored(record)]

    def get_back_url(self, record):
        return _stored(record).get_absolute_url()


def _stored(building):
    """The building as it is stored: while a form is being corrected, the record holds what is typed."""
    return Building.objects.get(pk=building.pk)


@for_roles(Role.OFFICE)
@require_http_methods(["GET", "HEAD", "POST"])
def building_managers(request, slug):
    """Who manages this building; assign another."""
    building = get_object_or_404(Building.objects.visible_to(request.user), slug=slug)
    form = AssignManagerForm(request.POST if request.method == "POST" else None, building=building)
    if request.method == "POST" and form.is_valid():
        person = form.cleaned_data["person"]
        try:
            assign_manager(building=building, person=person)
        except ManagerRefused as refusal:
            form.add_error("person", refusal.reasons)
        else:
            messages.success(request, f"{person.full_name} sees {building} from now on.")
            return redirect("building-managers", slug)
    context = {"building": building, "managers": building.managers.order_by("full_name"), "form": form}
    return render(request, "sites_registry/building_managers.html", context, status=422 if form.is_bound else 200)


@for_roles(Role.OFFICE)
@require_POST
def building_manager_remove(request, slug, pk):
    building = get_object_or_404(Building.objects.visible_to(request.user), slug=slug)
    person = get_object_or_404(Person.objects.visible_to(request.user), pk=pk)
    remove_manager(building=building, person=person)
    messages.success(request, f"{person.full_name} does not see {building} any more.")
    return redirect("building-managers", slug)
