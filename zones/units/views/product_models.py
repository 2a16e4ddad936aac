"""Product models: which figures are known, where their units are fitted."""

import django_filters
import django_tables2 as tables
from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse, reverse_lazy
from django.views.decorators.http import require_POST

from sites_registry.access import STAFF_ROLES, Role, for_roles
from sites_registry.states import state_mark
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import ListPage, RegisterTable, number_column
from zones.editing.figures import FIGURE_GROUPS, WHY_NEEDED, label_and_unit
from zones.models import DeviceKind, Fitting, Maker, ProductModel
from zones.units.forms.product_models import ProductModelForm, ProposalForm
from zones.units.pattern_starts import EXAMPLE_LINE
from zones.units.patterns import pattern_text_for
from zones.units.plate_figures import PlateFigureRefused, keep_record
from zones.units.power_orders import power_orders
from zones.units.product_models import confirm_model

UNITS_SHOWN = 10
FIGURES_SHOWN = 20


class ProductModelFilter(django_filters.FilterSet):
    text = django_filters.CharFilter("name", "icontains", label="Model", max_length=80)
    kind = django_filters.ChoiceFilter(label="Kind", choices=DeviceKind.choices, empty_label="all")
    maker = django_filters.ModelChoiceFilter(label="Maker", queryset=Maker.objects.all(), empty_label="all")
    figures = django_filters.ChoiceFilter(
        label="Figures",
        empty_label="all",
        choices=[("missing", "missing"), ("known", "all known"), ("differ", "differ from a data plate")],
        method="by_figures",
    )
    standing = django_filters.ChoiceFilter(
        label="Standing", choices=[("proposed", "proposed, not confirmed")], empty_label="all", method="by_standing"
    )

    class Meta:
        model = ProductModel
        fields = []

    def by_figures(self, product_models, name, value):
        match value:
            case "missing":
                return product_models.with_figures_missing()
            case "differ":
                return product_models.with_differing_figures()
        return product_models.with_all_figures()

    def by_standing(self, product_models, name, value):
        return product_models.proposed()


class ProductModelTable(RegisterTable):
    noun = "models"
    name = tables.Column(verbose_name="Model", linkify=True)
    maker = tables.Column(order_by="maker__name")
    kind = tables.Column()
    figures = tables.Column(empty_values=(), orderable=False)
    unit_count = number_column(verbose_name="Units")
    holds = {"maker": "kind", "kind": "kind", "figures": "state"}

    class Meta(RegisterTable.Meta):
        fields = ()
        order_by = ("maker", "name")

    def render_figures(self, record):
        return figures_state(record)


def figures_state(product_model):
    """A state: how many of the figures that a check needs are missing."""
    missing = len(product_model.missing_figure_names())
    return state_mark("missing", f"{missing} missing") if missing else state_mark("known")


class ProductModelListView(ListPage):
    roles = STAFF_ROLES
    queryset = ProductModel.objects.with_maker().with_unit_count()
    table_class = ProductModelTable
    filterset_class = ProductModelFilter
    heading = "Product models"
    lead_line = "What is fitted, with the figures of its data sheet."
    add_url_name = "product-model-create"
    add_roles = STAFF_ROLES
    empty_text = "No product model yet. Add the first; an import of a device list makes them too."

    @property
    def add_word(self):
        return "Add a model" if self.request.user.role == Role.OFFICE else "Propose a model"

    def get_add_url(self):
        return reverse(self.add_url_name if self.request.user.role == Role.OFFICE else "product-model-propose")


# These have a value before anybody thinks of them: shown only for the kinds of device that have such a figure.
PRESET = ("load_kind", "alarm_wiring")


def shown_figure(product_model, name):
    """A figure as a person reads it: choices and yes or no in words."""
    value = getattr(product_model, name)
    if isinstance(value, bool):
        return "yes" if value else "no"
    display = getattr(product_model, f"get_{name}_display", None)
    return display() if display else value


def figure_rows(product_model):
    """Figures by group: those a check needs, known or missing, and any others that are known."""
    missing = product_model.missing_figure_names()
    for group in FIGURE_GROUPS:
        rows = []
        for name in group.names:
            value = getattr(product_model, name)
            has_kind_of_load = name == "load_kind" and product_model.kind in group.kinds
            if value in (None, "") and name not in missing and not has_kind_of_load:
                continue
            if name in PRESET and group.kinds and product_model.kind not in group.kinds:
                continue
            label, unit = label_and_unit(ProductModel._meta.get_field(name))
            display = shown_figure(product_model, name) or (has_kind_of_load and "not known: the worst kind counts")
            rows.append(
                {
                    "label": label,
                    "unit": unit,
                    "value": display,
                    "is_missing": name in missing,
                    "why": WHY_NEEDED.get(name, ""),
                }
            )
        if rows:
            yield {"heading": group.heading, "rows": rows}


@for_roles(*STAFF_ROLES)
def product_model_detail(request, pk):
    models = ProductModel.objects.visible_to(request.user).with_maker().select_related("proposed_by", "confirmed_by")
    product_model = get_object_or_404(models, pk=pk)
    units = product_model.units.with_place().order_by("serial")
    is_battery = product_model.kind == DeviceKind.BATTERY
    sets = product_model.battery_sets.fitted().counted_by_building() if is_battery else []
    context = {
        "is_battery": is_battery,
        "battery_buildings": sets,
        "product_model": product_model,
        "groups": list(figure_rows(product_model)),
        "missing": product_model.missing_figures(),
        "units": units[:UNITS_SHOWN],
        "unit_count": product_model.units.count(),
        "buildings": Fitting.objects.open().filter(unit__product_model=product_model).counted_by_building(),
        "pattern": pattern_text_for(kind=product_model.kind, product_model=product_model),
        "orders": power_orders(product_model) if product_model.kind == DeviceKind.CONTROL_PANEL else (),
        "planned_at": product_model.positions.in_use().count(),
        "may_change": request.user.role == Role.OFFICE,
        "plate_figures": product_model.plate_figures.select_related(
            "position__building", "read_by", "kept_by", "product_model"
        )[:FIGURES_SHOWN],
        "attachments": product_model.attachments.visible_to(request.user).for_list(),
    }
    return render(request, "zones/units/product_model_detail.html", context)


class ProductModelProposeView(FormPage):
    """On site: a model that the register lacks, with what its data plate says and how it is wired."""

    roles = STAFF_ROLES
    form_class = ProposalForm
    template_name = "zones/units/product_model_proposal.html"
    heading = "Propose a product model"
    lead_line = "It can be used at once, and is marked as not confirmed until the office has checked it."
    verb = "Propose model"
    saved_message = "{record}: the office is asked to confirm it."
    list_url = reverse_lazy("product-model-list")
    list_word = "Product models"

    def form_arguments(self):
        kind = self.request.GET.get("kind", "")
        return {"changed_by": self.request.user, "initial": {"kind": kind} if kind in DeviceKind.values else {}}

    def get_context(self, form):
        return {**super().get_context(form), "example": EXAMPLE_LINE}

    def get_back_url(self, record):
        return reverse("product-model-list")


@for_roles(Role.OFFICE)
@require_POST
def product_model_confirm(request, pk):
    """The office has checked figures and pattern of a proposed model."""
    product_model = get_object_or_404(ProductModel.objects.visible_to(request.user), pk=pk)
    confirmed = confirm_model(product_model=product_model, by=request.user)
    messages.success(request, f"{confirmed} is confirmed.")
    return redirect(confirmed)


@for_roles(Role.OFFICE)
@require_POST
def plate_figure_keep(request, pk, figure_pk):
    """The office keeps the record against a figure that was read otherwise on site."""
    product_model = get_object_or_404(ProductModel.objects.visible_to(request.user), pk=pk)
    figure = get_object_or_404(product_model.plate_figures, pk=figure_pk)
    try:
        kept = keep_record(figure=figure, reason=request.POST.get("reason", ""), kept_by=request.user)
    except PlateFigureRefused as refusal:
        messages.error(request, str(refusal))
    else:
        words = f"{figure.label.capitalize()} is kept as on record." if kept else "This was settled before."
        messages.success(request, words)
    return redirect(f"{product_model.get_absolute_url()}#plates")


class ProductModelCreateView(FormPage):
    form_class = ProductModelForm
    template_name = "zones/units/product_model_form.html"
    heading = "Add a product model"
    verb = "Add model"
    saved_message = "{record} added."
    list_url = reverse_lazy("product-model-list")
    list_word = "Product models"
    can_add_another = True
    kept_fields = ("maker_name", "kind", "rated_voltage_v", "drive", "load_kind", "alarm_wiring")

    def form_arguments(self):
        return {"changed_by": self.request.user}

    def get_back_url(self, record):
        return reverse("product-model-list")


class ProductModelUpdateView(FormPage):
    form_class = ProductModelForm
    template_name = "zones/units/product_model_form.html"
    verb = "Save model"
    saved_message = "{record} saved."
    list_url = reverse_lazy("product-model-list")
    list_word = "Product models"

    def get_record(self):
        return for_change(ProductModel.objects.with_maker(), self.request, pk=self.kwargs["pk"])

    def form_arguments(self):
        return {"changed_by": self.request.user}

    def get_heading(self, record):
        return f"Change {record}"

    def get_trail(self, record):
        return [record]
