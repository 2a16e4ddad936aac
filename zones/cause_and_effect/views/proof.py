"""The proof of a panel's cause and effect on screen."""

from django.shortcuts import render
from django.views.decorators.http import require_safe

from zones.cause_and_effect.kept_proofs import proofs_of
from zones.cause_and_effect.proof import proof_page
from zones.cause_and_effect.records import panel_logic
from zones.cause_and_effect.views.matrix import panel_of
from zones.engineering.cause_and_effect import RuleSetError

OF_THE_RULES = (
    "Proven means: of the rules as recorded, in every state that they can reach. It says nothing of the wiring, the "
    "settings and the devices on site; only commissioning does."
)


@require_safe
def panel_proof(request, pk):
    panel = panel_of(request, pk)
    read = panel_logic(panel)
    context = {
        "panel": panel,
        "caution": OF_THE_RULES,
        "has_rules": bool(read.ruleset.rules),
        "left_out": read.left_out,
    }
    try:
        proofs = proofs_of(read)
    except RuleSetError as error:
        context["faults"] = error.sentences
    else:
        context["page"] = proofs.kept and proof_page(proofs.kept)
        context["on_its_way"] = proofs.on_its_way
    return render(request, "zones/cause_and_effect/proof.html", context)
