"""Units: trace a serial, see where one was, record and move it."""

import django_filters
import django_tables2 as tables
from django.urls import reverse, reverse_lazy
from django.utils.html import format_html

from sites_registry.access import STAFF_ROLES
from sites_registry.models import Building
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import CodeColumn, ListPage, RegisterTable
from zones.models import Fitting, Maker, ProductModel, Unit
from zones.units.fittings import FittingRefused, fit, move
from zones.units.forms.units import UnitForm, UnitPlaceForm


class UnitFilter(django_filters.FilterSet):
    serial = django_filters.CharFilter("serial", "icontains", label="Serial", max_length=60)
    batch = django_filters.CharFilter("batch", "icontains", label="Batch or date code", max_length=40)
    model = django_filters.ModelChoiceFilter(
        "product_model", label="Model", queryset=ProductModel.objects.with_maker(), empty_label="all"
    )
    maker = django_filters.ModelChoiceFilter(label="Maker", queryset=Maker.objects.all(), empty_label="all")
    building = django_filters.ModelChoiceFilter(
        label="Fitted now in", queryset=Building.objects.all(), empty_label="all", method="fitted_in"
    )
    place = django_filters.ChoiceFilter(
        label="Place", choices=[("fitted", "fitted"), ("store", "in store")], empty_label="all", method="at_place"
    )

    class Meta:
        model = Unit
        fields = []

    def fitted_in(self, units, name, building):
        return units.filter(pk__in=Fitting.objects.open().filter(position__building=building).values("unit"))

    def at_place(self, units, name, value):
        return units.in_store() if value == "store" else units.exclude(pk__in=Unit.objects.in_store().values("pk"))


class UnitTable(RegisterTable):
    noun = "units"
    serial = CodeColumn(css="serial")
    product_model = tables.Column(verbose_name="Model", order_by=("product_model__maker__name", "product_model__name"))
    kind = tables.Column(accessor="product_model__get_kind_display", verbose_name="Kind", orderable=False)
    batch = CodeColumn(css="serial", linkify=False, verbose_name="Batch")
    fitted_building = tables.Column(verbose_name="Fitted in")
    fitted_tag = CodeColumn(linkify=False, verbose_name="At")
    fitted_since = tables.DateColumn(verbose_name="Since")
    holds = {"kind": "kind", "fitted_building": "kind", "batch": "date"}

    class Meta(RegisterTable.Meta):
        fields = ()
        order_by = ("serial",)

    def render_fitted_building(self, record, value):
        return format_html('<a href="{}">{}</a>', reverse("building-detail", args=[record.fitted_slug]), value)


class UnitListView(ListPage):
    roles = STAFF_ROLES
    queryset = Unit.objects.with_model().with_place()
    table_class = UnitTable
    filterset_class = UnitFilter
    template_name = "zones/units/unit_list.html"
    heading = "Units"
    lead_line = "Every serial the register knows, and where it is fitted now."
    add_url_name = "unit-create"
    add_word = "Add a unit"
    add_roles = STAFF_ROLES
    empty_text = "No unit yet. Record serials on a building's serials page, or add one here."


class UnitCreateView(FormPage):
    roles = STAFF_ROLES
    form_class = UnitForm
    heading = "Add a unit"
    verb = "Add unit"
    saved_message = "Unit {record} added. It is in store until it is fitted."
    list_url = reverse_lazy("unit-list")
    list_word = "Units"
    can_add_another = True

    def get_back_url(self, record):
        return reverse("unit-list")


class UnitUpdateView(FormPage):
    roles = STAFF_ROLES
    form_class = UnitForm
    verb = "Save unit"
    saved_message = "Unit {record} saved."
    list_url = reverse_lazy("unit-list")
    list_word = "Units"

    def get_record(self):
        return for_change(Unit.objects.with_model(), self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"Change unit {record}"

    def get_trail(self, record):
        return [record]


FIELD_OF = {"date": "day", "reason": "reason", "position": "tag", "unit": "tag"}


class UnitMoveView(FormPage):
    """Fit a unit that is in store, or move a fitted one."""

    roles = STAFF_ROLES
    form_class = UnitPlaceForm
    verb = "Fit unit"
    list_url = reverse_lazy("unit-list")
    list_word = "Units"

    def get_record(self):
        unit = for_change(Unit.objects.with_model(), self.request, pk=self.kwargs["pk"])
        self.unit = unit
        self.present = Fitting.objects.open().filter(unit=unit).select_related("position__building").first()
        return None

    def form_arguments(self):
        return {"person": self.request.user}

    def get_heading(self, record):
        if self.present:
            return f"Move unit {self.unit}"
        return f"Fit unit {self.unit}"

    def get_trail(self, record):
        return [self.unit]

    def get_back_url(self, record):
        return self.unit.get_absolute_url()

    def perform(self, form):
        typed = form.cleaned_data
        what = {"by": self.request.user, "reason": typed["reason"]}
        try:
            if self.present:
                fitting = move(unit=self.unit, to_position=typed["position"], moved_on=typed["day"], **what)
            else:
                fitting = fit(unit=self.unit, position=typed["position"], fitted_on=typed["day"], **what)
        except FittingRefused as refusal:
            form.add_error(FIELD_OF[refusal.field], refusal.reasons)
            return None
        return fitting

    def success_url(self, record):
        return self.unit.get_absolute_url()

    def get_lead_line(self, record):
        if self.present is None:
            return "In store now."
        position = self.present.position
        return f"Now in {position.building} at {position}; it is taken off there on that day."

    def get_context(self, form):
        return {**super().get_context(form), "verb": "Move unit" if self.present else "Fit unit"}
