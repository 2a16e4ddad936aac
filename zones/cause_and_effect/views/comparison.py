"""Two revisions of a panel's rules compared on screen."""

from django.shortcuts import render
from django.views.decorators.http import require_safe

from zones.cause_and_effect.records import panel_logic
from zones.cause_and_effect.rule_comparison import comparison_of, first_to_compare, revisions_of_rules
from zones.cause_and_effect.views.matrix import panel_of
from zones.engineering.cause_and_effect import RuleSetError

OF_THE_RULES = (
    "Compared are the rules as recorded. Whether the panel was changed in the same way, only a test of the panel shows."
)


@require_safe
def rule_comparison(request, pk):
    """From the revision `from` to the revision `to`; without them, from the newest that does otherwise to now."""
    panel = panel_of(request, pk)
    read = panel_logic(panel)
    revisions = revisions_of_rules(read)
    known = {one.key: one for one in revisions}
    before = known.get(request.GET.get("from", ""), first_to_compare(revisions))
    after = known.get(request.GET.get("to", ""), revisions[0])
    unknown = [text for name in ("from", "to") if (text := request.GET.get(name, "")) and text not in known]
    context = {
        "panel": panel,
        "caution": OF_THE_RULES,
        "revisions": revisions,
        "before": before,
        "after": after,
        "unknown": unknown,
    }
    try:
        context["comparison"] = comparison_of(read, before, after) if before and not unknown else None
    except RuleSetError as error:
        context["faults"] = error.sentences
    return render(request, "zones/cause_and_effect/rule_comparison.html", context)
