"""The cause-and-effect matrix of a panel: read by everybody who sees the panel, edited cell by cell by the firm."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from sites_registry.access import STAFF_ROLES, for_roles
from zones.cause_and_effect.edits import add_usual_rules, missing_usual_rules, set_cell
from zones.cause_and_effect.forms import CellForm, CoincidenceForm
from zones.cause_and_effect.matrix import LEGEND, LETTERS, Cell, matrix_of
from zones.cause_and_effect.records import panel_logic
from zones.editing.forms import tell
from zones.editing.pages import RemovePage, may_edit
from zones.engineering.cause_and_effect import validate
from zones.models import CauseAndEffectRule, Coincidence, ControlPanel
from zones.panels.views.panels import ChangeOnPanelPage, OnPanelPage

Effect = CauseAndEffectRule.Effect
NOT_THE_PANEL = (
    "The matrix says what the panel is meant to do. Only a test on site, input by input, shows what it does; every "
    "“–” is to be verified too."
)


def panel_of(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building__client", "position")
    return get_object_or_404(panels, pk=pk)


@require_safe
def rule_matrix(request, pk):
    panel = panel_of(request, pk)
    read = panel_logic(panel)
    matrix = matrix_of(read)
    context = {
        "panel": panel,
        "matrix": matrix,
        "legend": LEGEND,
        "caution": NOT_THE_PANEL,
        "may_edit": may_edit(request),
        "contradictions": (*read.left_out, *validate(read.ruleset)),
        "missing_count": len(missing_usual_rules(read)),
        "coincidences": Coincidence.objects.filter(panel=panel),
        "letters": LETTERS,
    }
    return render(request, "zones/cause_and_effect/rule_matrix.html", context)


@for_roles(*STAFF_ROLES)
@require_POST
def usual_rules(request, pk):
    """Add the usual rules that the panel lacks."""
    panel = panel_of(request, pk)
    added = add_usual_rules(panel=panel)
    if added:
        messages.success(request, f"{len(added)} usual rule{'s' * (len(added) != 1)} added. Check each of them.")
    else:
        messages.info(request, "Every usual rule is there already.")
    return redirect("rule-matrix", pk)


@for_roles(*STAFF_ROLES)
def rule_cell(request, pk, cause, target):
    """One cell: a page with its form; answered with the cell alone when the matrix on the screen asks."""
    panel = panel_of(request, pk)
    with transaction.atomic():
        matrix = matrix_of(panel_logic(panel))
        cause, target = (matrix.cause(cause), matrix.target(target))
        if cause is None or target is None:
            raise Http404
        cell = matrix.cell(cause, target)
        form = _cell_form(request, cell)
        if request.method == "POST" and form.is_valid():
            rules = _set(panel, cell, form)
            if rules is not None:
                return _changed(request, panel, Cell(cause, target, rules))
    context = {"form": form, "panel": panel, "cell": cell, "legend": LEGEND}
    status = 422 if request.method == "POST" else 200
    return render(request, "zones/cause_and_effect/rule_cell.html", context, status=status)


def _cell_form(request, cell):
    moving = [rule for rule in cell.rules if rule.effect != Effect.SIGNAL]
    first = (moving or cell.rules or [None])[0]
    initial = {
        "effect": moving[0].effect if moving else "",
        "signals": len(moving) < len(cell.rules),
        "is_latching": first.is_latching if first else False,
        "delay_s": (first.delay_s or None) if first else None,
        "priority": first.priority if first else None,
        "is_cross_zone": first.is_cross_zone if first else False,
    }
    data = request.POST if request.method == "POST" else None
    return CellForm(data, initial=initial, takes_signals_only="output" in cell.target.fields)


def _set(panel, cell, form):
    how = {name: value for name, value in form.cleaned_data.items() if name not in ("effect", "signals")}
    try:
        with transaction.atomic():
            return set_cell(
                panel=panel,
                cause=cell.cause.fields,
                target=cell.target.fields,
                effect=form.cleaned_data.get("effect", ""),
                signals=form.cleaned_data["signals"],
                **how,
            )
    except ValidationError as error:
        tell(form, error)
        return None


def _changed(request, panel, cell):
    if request.headers.get("X-Part") == "cell":
        return render(
            request, "zones/cause_and_effect/_rule_cell.html", {"cell": cell, "panel": panel, "may_edit": True}
        )
    messages.success(request, f"{cell.cause.label} on {cell.target.name}: saved.")
    return redirect("rule-matrix", panel.pk)


class CoincidenceCreateView(OnPanelPage):
    model = Coincidence
    form_class = CoincidenceForm
    verb = "Add coincidence"
    saved_message = "Coincidence '{record}' added. Set in the matrix what it does."

    def get_heading(self, record):
        return f"Several devices of {self.panel.tag} that must operate together"

    def get_back_url(self, record):
        return reverse("rule-matrix", args=[self.panel.pk])

    def success_url(self, record):
        return reverse("rule-matrix", args=[self.panel.pk])


class CoincidenceUpdateView(ChangeOnPanelPage):
    model = Coincidence
    form_class = CoincidenceForm
    template_name = "zones/editing/mistake_form.html"
    verb = "Save coincidence"
    saved_message = "Coincidence '{record}' saved."

    def get_heading(self, record):
        return f"Coincidence of {record.panel.tag}"

    def get_back_url(self, record):
        return record.get_absolute_url()

    def success_url(self, record):
        return record.get_absolute_url()

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse("coincidence-remove", args=[self.record.pk])}


class CoincidenceRemoveView(RemovePage):
    queryset = Coincidence.objects.select_related("panel")
