"""The cause-and-effect matrix of a panel as PDF."""

from django.utils import timezone
from django.views.decorators.http import require_GET

from sites_registry.documents.downloads import download, file_name
from zones.cause_and_effect.document import cause_and_effect_pdf
from zones.cause_and_effect.proof import proof_page
from zones.cause_and_effect.records import panel_logic
from zones.cause_and_effect.views.matrix import LEGEND, panel_of
from zones.engineering.cause_and_effect import RuleSetError


@require_GET
def panel_cause_and_effect(request, pk):
    panel = panel_of(request, pk)
    read, now = panel_logic(panel), timezone.now()
    try:
        proof = proof_page(read)
    except RuleSetError:
        proof = None  # the page of the matrix tells why
    content = cause_and_effect_pdf(panel, read, proof, legend=LEGEND, prepared_by=request.user, now=now)
    name = file_name(panel.building, f"cause and effect {panel.tag}", f"{timezone.localtime(now):%Y-%m-%d}", "pdf")
    return download(content, "application/pdf", name)
