"""The wiring of a panel on one page: read, edited terminal by terminal as one types, ticked on site."""

from contextlib import suppress

from django.contrib import messages
from django.core import signing
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.http import JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.filled_in import filled_in_at
from sites_registry.kept_forms import kept_form
from sites_registry.read_once import read_once
from sites_registry.states import state_of
from zones.editing.pages import may_edit
from zones.engineering.power_order import BEFORE_A_GUARD_COMES_OFF
from zones.models import ControlPanel, Core, Terminal
from zones.wiring.declared_parts import declared_parts
from zones.wiring.edits import CoreChange, put_core, put_far, shown_at, tick, undo
from zones.wiring.page import read_page
from zones.wiring.photos import photos_of

LONGEST = 120
OFFERED = 400
SALT = "wiring-undo"
UNDO_FOR_S = 8 * 3600
ACTS = {"core": put_core, "far": put_far}


def _panel(request, pk):
    panels = ControlPanel.objects.visible_to(request.user).select_related("building", "position")
    return get_object_or_404(panels, pk=pk)


@require_GET
def panel_wiring(request, pk):
    """The page: read by everybody who may see the building, edited by the firm's people."""
    panel = _panel(request, pk)
    return render(request, "zones/wiring/panel_wiring.html", _context(request, panel))


def _context(request, panel, typed=None, errors=None):
    page = read_page(panel, request.GET.get("of", ""))
    edits = may_edit(request)
    return {
        "panel": panel,
        "page": page,
        "may_edit": edits,
        "caution": BEFORE_A_GUARD_COMES_OFF,
        "errors": errors or [],
        "typed": typed or {},
        "terminals": _offered_terminals(panel) if edits else [],
        "cores": _offered_cores(panel) if edits else [],
        "declared": declared_parts(panel, page.chosen),
        "photos": photos_of(panel, request.user, [block.heading for block in page.blocks]),
        "boxes_to_photograph": page.blocks if page.chosen and edits else [],
        "today": timezone.localdate(),
        "kept_form": kept_form(request.user, f"Wiring of {panel.tag}", request.path),
    }


@read_once
def _offered_terminals(panel):
    """Free terminals of the building for the browser to offer."""
    free = Terminal.objects.filter(building=panel.building_id, core_ends=None)
    rows = free.order_by("panel", "position__tag_key", "order_key").values_list(
        "panel__position__tag", "position__tag", "block", "number"
    )
    return [f"{of_panel or of_device} -{block}:{number}" for of_panel, of_device, block, number in rows[:OFFERED]]


@read_once
def _offered_cores(panel):
    """Cores with an end that is on no terminal."""
    rows = Core.objects.filter(cable__building=panel.building_id, ends=None).order_by("cable__tag", "number")
    return [
        f"{tag}.{number} {colour}".strip()
        for tag, number, colour in rows.values_list("cable__tag", "number", "colour")[:OFFERED]
    ]


@for_roles(*STAFF_ROLES)
@require_POST
def wiring_save(request, pk):
    """Save every row that was changed, all or none: what the page does without JavaScript."""
    panel = _panel(request, pk)
    rows = {row.pk: row for row in read_page(panel, request.GET.get("of", "")).rows()}
    errors, saved = [], 0
    with suppress(_Refused), transaction.atomic():
        for pk, row in rows.items():
            for name, stored in (("core", row.core), ("far", row.far)):
                typed = _text(request.POST.get(f"{name}-{pk}", stored))
                if " ".join(typed.split()) == request.POST.get(f"seen-{name}-{pk}", stored):
                    continue
                try:
                    saved += ACTS[name](terminal=Terminal.objects.get(pk=pk), text=typed).is_any
                except ValidationError as error:
                    errors.append((row.name, " ".join(error.messages)))
        if errors:
            raise _Refused
    if errors:
        return render(
            request, "zones/wiring/panel_wiring.html", _context(request, panel, request.POST, errors), status=422
        )
    messages.success(request, f"{saved} change{'' if saved == 1 else 's'} of the wiring saved.")
    return redirect(reverse("panel-wiring", args=[pk]) + f"?{request.GET.urlencode()}")


class _Refused(Exception):
    """One row cannot be saved, so none is."""


@for_roles(*STAFF_ROLES)
@require_POST
def terminal_wiring(request, pk):
    """Save one field of one row: `field` core or far, `typed`, `seen` as the page showed it. Answers with all rows."""
    terminal = get_object_or_404(Terminal.objects.visible_to(request.user), pk=pk)
    name, typed = request.POST.get("field", ""), _text(request.POST.get("typed", ""))
    panels = ControlPanel.objects.filter(building=terminal.building_id).select_related("building", "position")
    panel = panels.filter(pk=_number(request.POST.get("panel"))).first()
    if name not in ACTS or panel is None:
        return JsonResponse({"sentence": "This page is out of date. Load it anew."}, status=422)
    chosen = request.POST.get("of", "")
    stored = shown_at(terminal)[name]
    if stored != request.POST.get("seen", stored):
        sentence = f"Somebody changed this meanwhile to '{stored or 'nothing'}'. Read it, then type it again."
        return JsonResponse({"sentence": sentence, **_answer(panel, chosen)}, status=422)
    return _do(panel, chosen, lambda: ACTS[name](terminal=terminal, text=typed))


def _text(typed):
    """What was typed, without what no database stores and no longer than any name."""
    return typed.replace("\0", "")[:LONGEST]


def _number(text):
    return int(text) if text and text.isascii() and text.isdecimal() and len(text) < 12 else 0


def _do(panel, chosen, act):
    try:
        change = act()
    except ValidationError as error:
        return JsonResponse({"sentence": " ".join(error.messages)}, status=422)
    except IntegrityError:
        return JsonResponse(
            {"sentence": "Somebody used this terminal at the same moment. Load the page anew."}, status=422
        )
    token = signing.dumps(_packed(change), salt=SALT) if change.is_any else ""
    return JsonResponse({"said": change.said, "undo": token, **_answer(panel, chosen)})


def _packed(change):
    return {"before": list(change.before.items()), "after": list(change.after.items())}


def _answer(panel, chosen):
    """All rows of the page as they are now, and the list of findings as it is shown."""
    page = read_page(panel, chosen)
    return {
        "rows": [
            {
                "pk": row.pk,
                "core": row.core,
                "far": row.far,
                "more": row.more_words,
                "checked": bool(row.checked),
                "findings": [state_of(one["state"]).as_data() | {"sentence": one["sentence"]} for one in row.findings],
            }
            for row in page.rows()
        ],
        "summary": render_to_string("zones/wiring/_wiring_findings.html", {"page": page, "panel": panel}),
    }


@for_roles(*STAFF_ROLES)
@require_POST
def wiring_undo(request, pk):
    """Take the last change back by a further one; the page holds what it was, signed."""
    panel = _panel(request, pk)
    try:
        packed = signing.loads(request.POST.get("undo", ""), salt=SALT, max_age=UNDO_FOR_S)
    except signing.BadSignature:
        return JsonResponse({"sentence": "This change can no longer be undone. CoreChange the row itself."}, status=422)
    change = CoreChange(
        {key: tuple(state) for key, state in packed["before"]}, {key: tuple(state) for key, state in packed["after"]}
    )
    return _do(panel, request.POST.get("of", ""), lambda: undo(change=change, building_id=panel.building_id))


@for_roles(*STAFF_ROLES)
@require_POST
def terminal_tick(request, pk):
    """Record that a terminal was seen on site as recorded (`checked` 1), or take it back. A form or a fetch."""
    terminal = get_object_or_404(Terminal.objects.visible_to(request.user), pk=pk)
    is_checked = request.POST.get("checked") == "1"
    tick(terminal=terminal, by=request.user, is_checked=is_checked, at=filled_in_at(request))
    if request.headers.get("Accept", "").startswith("application/json"):
        return JsonResponse({"checked": is_checked})
    panel = terminal.panel_id or terminal.position.panel_id
    return (
        redirect("panel-wiring", panel)
        if panel
        else redirect(reverse("device-terminal-list", args=[terminal.position_id]))
    )
