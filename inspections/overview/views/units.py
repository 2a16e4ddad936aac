"""The page of a unit: its answers, what the last test found, its label, every fitting."""

from django.shortcuts import get_object_or_404, render

from inspections.overview.units import answers_of_unit
from sites_registry.history import changes_of
from zones.editing.pages import may_edit
from zones.models import Fitting, Unit


def unit_detail(request, pk):
    unit = get_object_or_404(Unit.objects.visible_to(request.user).with_model(), pk=pk)
    fittings = Fitting.objects.visible_to(request.user).filter(unit=unit)
    fittings = list(fittings.select_related("position__building", "fitted_by", "removed_by"))
    may_change = may_edit(request)
    in_store = ("known", "in store") if may_change else ("retired", "not fitted here now")
    context = {
        "unit": unit,
        "fittings": fittings,
        "present": next((fitting for fitting in fittings if fitting.removed_on is None), None),
        "answers": answers_of_unit(unit, fittings, in_store=in_store),
        "may_change": may_change,
        "attachments": unit.attachments.visible_to(request.user).for_list(),
        "changes": changes_of(unit) if may_change else [],
    }
    return render(request, "inspections/overview/unit_detail.html", context)
