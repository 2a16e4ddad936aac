"""The phone form: the walk of a visit, one position at a time, answers taken as they come."""

import json
import logging
from dataclasses import asdict, replace

from django.contrib import messages
from django.db.models import Count
from django.http import Http404, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst
from django.views.decorators.http import require_GET, require_POST

from inspections.models import Outcome, Severity, Visit
from inspections.models.defects import SEVERITY_MEANING
from inspections.models.test_points import Leg
from inspections.visits.alike import alike_of
from inspections.visits.edits import positions_not_asked
from inspections.visits.here import read_stops
from inspections.visits.others import told_of_another_engineer
from inspections.visits.results import MOST_ANSWERS, Fate, take_answers
from inspections.visits.walk import open_points_of, walk_of
from sites_registry.access import Role, for_roles
from sites_registry.read_once import read_once
from sites_registry.states import state_of
from sites_registry.words import storey_words
from zones.models import Fitting
from zones.positions.edits import storey_rank
from zones.units.power_orders import power_orders

SHOWN = {"": "all", "remaining": "remaining", "fail": "failed", "not_accessible": "not accessible"}

logger = logging.getLogger(__name__)


def visit_of(request, pk):
    """The visible visit of this address with its building, or 404."""
    return _visit_visible_to(request.user, pk)


@read_once
def _visit_visible_to(person, pk):
    return get_object_or_404(Visit.objects.visible_to(person).with_building(), pk=pk)


@for_roles(Role.ENGINEER)
@require_GET
def visit_field(request, pk):
    visit = visit_of(request, pk)
    walk = walk_of(visit)
    is_open = visit.is_open_for_results
    return walk_page(request, visit, walk, open_points_of(visit, walk), alike_of(visit, walk) if is_open else None)


def walk_page(request, visit, walk, open_points, alike):
    """The page of the walk; `open_points` as of `open_points_of`, `alike` as of `alike_of`, None where over."""
    show = request.GET.get("show", "")
    show = show if show in SHOWN else ""
    shown = walk.only(show)
    is_asked = visit.is_open_for_results and not visit.is_ahead
    not_asked = positions_not_asked(visit).in_walking_order() if is_asked else []
    context = {
        "visit": visit,
        "building": visit.building,
        "back_url": visit.get_absolute_url(),
        "back_word": str(visit),
        "walk": walk,
        "shown": shown,
        "show": show,
        "tabs": SHOWN.items(),
        "first_open": (first_open := walk.first_open()),
        "next_storey": walk.storey_of(first_open),
        "page_data": page_data(request.user, visit, walk, []) | {"stops": open_points, "alike": alike},
        "not_asked_positions": not_asked,
        "not_asked": len(not_asked),
        "panels": visit.building.panels.select_related("position").order_by("position__tag_key"),
        "photos": visit.photos.standing().filter(test_point=None, position=None, defect=None),
        "floor_plans": sorted(visit.building.floor_plans.in_force(), key=lambda plan: storey_rank(plan.storey)),
    }
    return render(request, "inspections/visits/visit_field.html", context)


@for_roles(Role.ENGINEER)
@require_GET
def visit_field_position(request, pk, position_pk):
    return _page_of(request, visit_of(request, pk), position_pk)


@for_roles(Role.ENGINEER)
@require_GET
def visit_field_last(request, pk, position_pk):
    """The panel once more, at the end of a commissioning."""
    visit = visit_of(request, pk)
    if not visit.test_points.filter(position=position_pk, leg=Leg.END).exists():
        return redirect("visit-field-position", pk, position_pk)
    return _page_of(request, visit, position_pk, is_last=True)


def _page_of(request, visit, position_pk, *, is_last=False, refused=None, typed=None, status=200):
    """The page of a position, or 404; `refused` is a Verdict, `typed` what was sent with it; `is_last`: at the end."""
    walk = walk_of(visit)
    number = walk.number_of(position_pk, is_last=is_last)
    if number is None:
        raise Http404
    (here,) = read_stops(visit, [walk.stops[number]])
    if refused:
        here.refuse(refused, typed)
    return stop_page(request, visit, walk, here, status)


def stop_page(request, visit, walk, here, status=200):
    """The page of one stop; `here` as `read_stops` gives it."""
    stop, position = here.stop, here.stop.position
    for card in here.cards:
        card.is_changing = card.is_changing or request.GET.get("change") == str(card.point.pk)
    before, after, next_open = walk.around(walk.number_of(position.pk, is_last=stop.is_last))
    context = {
        "visit": visit,
        "building": visit.building,
        "walk": walk,
        "back_url": reverse("visit-field", args=[visit.pk]) + f"#{stop.anchor}",
        "back_word": capfirst(storey_words(walk.storey_of(stop).name)),
        "stop": stop,
        "position": position,
        "known": here.known,
        "cards": here.cards,
        "photos": here.photos,
        "first_card": here.first_card,
        "panel": here.panel,
        "orders": power_orders(here.panel.position.product_model) if here.panel and not stop.is_last else (),
        "before": before,
        "after": after,
        "next_open": next_open,
        "defects": here.defects,
        "outcomes": Outcome,
        "severities": [(key, word, SEVERITY_MEANING[key]) for key, word in Severity.choices],
        "takes_answers": visit.state in ("under_way", "finished"),
        "page_data": page_data(request.user, visit, walk, here.cards),
    }
    return render(request, "inspections/visits/visit_field_position.html", context, status=status)


def page_data(person, visit, walk, cards):
    """All that the page's script needs, in one block, so that it can be stored and used without the server."""
    return {
        "person": {"id": person.pk, "name": person.full_name},
        "visit": visit.pk,
        "visit_name": f"{visit}, {visit.building.name}",
        "visit_url": reverse("visit-field", args=[visit.pk]),
        "visit_state": visit.state,
        "answers_url": reverse("visit-answers", args=[visit.pk]),
        "photos_url": reverse("visit-photos", args=[visit.pk]),
        "along_url": reverse("visit-taken-along", args=[visit.pk]),
        "log_in": reverse("log-in"),
        "starts": reverse("visit-start", args=[visit.pk]) if visit.is_ahead else "",
        "progress": {"done": walk.done, "total": walk.total},
        "outcomes": {value: state_of(value).as_data() for value in Outcome.values},
        "points": [_point_data(card) for card in cards],
    }


def _point_data(card):
    point = card.point
    return {
        "id": point.pk,
        "title": point.title,
        "tag": point.position.tag,
        "quantity": point.quantity,
        "unit": point.unit,
        "expected": _stated(point),
        "rule": point.reading_rule or point.rule.as_data(),
        "is_reading_required": point.is_reading_required,
        "before": _text(point.reading_before),
        "is_done": card.is_done,
        "known": card.known,
        "has_failed": bool(card.left.fails),
    }


def _stated(point):
    """What a pass states: what was to be seen, step by step; else what the check expects."""
    step = getattr(point, "planned_step", None)
    return " ".join(step.must) if step and step.must else point.expected


def _text(number):
    return None if number is None else f"{number.normalize():f}"


@for_roles(Role.ENGINEER)
@require_POST
def visit_answers(request, pk):
    """Take answers: a queue's batch as JSON, or one answer from the form of a test point without script."""
    visit = visit_of(request, pk)
    if request.content_type == "application/json":
        return _answers_as_json(request, visit)
    return _answer_as_form(request, visit)


def _answers_as_json(request, visit):
    received_at = timezone.now()
    try:
        body = json.loads(request.body)
        answers, sent_at, person = body["answers"], body.get("sent_at"), body.get("person")
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return _not_taken(request, visit, "This could not be read. Nothing was taken.", status=400)
    if person not in (None, request.user.pk):
        message = (
            f"{request.user.full_name} is logged in on this phone, but somebody else gave these answers. "
            "They go out only when that person has logged in here again."
        )
        return _not_taken(request, visit, message, status=409)
    if not isinstance(answers, list) or len(answers) > MOST_ANSWERS:
        return _not_taken(
            request, visit, f"Send a list of at most {MOST_ANSWERS} answers. Nothing was taken.", status=400
        )
    verdicts = take_answers(visit=visit, person=request.user, answers=answers, sent_at=sent_at, received_at=received_at)
    for verdict in verdicts:
        if verdict.fate == Fate.REFUSED:
            _note_refusal(request, visit, f"answer {verdict.client_uuid}: {verdict.message}")
    return JsonResponse(
        {
            "verdicts": [asdict(verdict) for verdict in _with_note(verdicts, visit, request.user)],
            "progress": visit.test_points.aggregate(done=Count("latest_result"), total=Count("pk")),
            "received_at": received_at.isoformat(),  # by it the phone knows how far its clock is out
        }
    )


def _with_note(verdicts, visit, person):
    note = told_of_another_engineer(visit, person)
    return [replace(one, notes=(*one.notes, note)) if note and one.fate == Fate.TAKEN else one for one in verdicts]


def _not_taken(request, visit, message, *, status):
    _note_refusal(request, visit, message)
    return JsonResponse({"message": message}, status=status)


def _note_refusal(request, visit, what):
    """For whoever looks after the register; one line each, whatever was sent in it."""
    logger.warning("Of %s, sent by person %s, was refused: %r", visit, request.user.pk, what)


def _answer_as_form(request, visit):
    typed = {name: request.POST.get(name, "") for name in request.POST if name != "csrfmiddlewaretoken"}
    typed["closes"] = request.POST.getlist("closes")
    typed["knows"] = request.POST.getlist("knows")
    figures = {name.removeprefix("figure_"): text for name, text in typed.items() if name.startswith("figure_")}
    typed["figures"] = {name: text for name, text in figures.items() if text.strip()}
    typed["defect"] = {name: typed.get(name, "") for name in ("severity", "description", "interim_measure", "told_to")}
    (verdict,) = take_answers(visit=visit, person=request.user, answers=[typed])
    point = visit.test_points.filter(pk=verdict.test_point_id or 0).first()
    if point is None:
        messages.error(request, verdict.message)
        return redirect("visit-field", visit.pk)
    if verdict.fate == Fate.REFUSED:
        place, is_last = point.done_at_id or point.position_id, point.leg == Leg.END
        return _page_of(request, visit, place, is_last=is_last, refused=verdict, typed=typed, status=422)
    for note in verdict.notes:
        messages.success(request, note)
    return redirect(point.field_url)


def fitting_at(position):
    return Fitting.objects.open().filter(position=position).select_related("unit__product_model__maker").first()
