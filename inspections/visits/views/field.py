"""The phone form: the walk of a visit, one position at a time, answers taken as they come."""

import json
from dataclasses import asdict, dataclass, field
from itertools import pairwise
from uuid import uuid4

from django.contrib import messages
from django.db.models import Count, Prefetch, Q
from django.http import Http404, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import capfirst
from django.views.decorators.http import require_GET, require_POST

from inspections.defects.edits import closable_at
from inspections.models import Defect, Outcome, Result, Severity, TestPoint, Visit
from inspections.models.defects import SEVERITY_MEANING
from inspections.models.test_points import Leg
from inspections.test_points.counting import AnswersLeft, answers_left
from inspections.visits.edits import positions_not_asked
from inspections.visits.memory import Memory
from inspections.visits.results import MOST_ANSWERS, Fate, take_answers
from inspections.visits.walk import open_points_of, walk_of
from sites_registry.access import Role, for_roles
from sites_registry.states import state_of
from sites_registry.words import storey_words
from zones.models import ControlPanel, Fitting
from zones.positions.edits import storey_rank
from zones.units.power_orders import power_orders

SHOWN = {"": "all", "remaining": "remaining", "fail": "failed", "not_accessible": "not accessible"}


def visit_of(request, pk):
    """The visible visit of this address with its building, or 404."""
    return get_object_or_404(Visit.objects.visible_to(request.user).with_building(), pk=pk)


@for_roles(Role.ENGINEER)
@require_GET
def visit_field(request, pk):
    visit = visit_of(request, pk)
    walk = walk_of(visit)
    show = request.GET.get("show", "")
    show = show if show in SHOWN else ""
    shown = walk.only(show)
    not_asked = positions_not_asked(visit).in_walking_order() if visit.is_open_for_results else []
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
        "page_data": page_data(request.user, visit, walk, []) | {"stops": open_points_of(visit, walk)},
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
    return position_page(request, visit_of(request, pk), position_pk)


@for_roles(Role.ENGINEER)
@require_GET
def visit_field_last(request, pk, position_pk):
    """The panel once more, at the end of a commissioning."""
    visit = visit_of(request, pk)
    if not visit.test_points.filter(position=position_pk, leg=Leg.END).exists():
        return redirect("visit-field-position", pk, position_pk)
    return position_page(request, visit, position_pk, is_last=True)


@dataclass
class Card:
    """One test point as the page shows it; `typed` and the error come back when an answer was refused.

    `before` and `after` are its neighbours at the same position, None at either end.
    """

    point: TestPoint
    closable: list
    typed: dict = field(default_factory=dict)
    error: str = ""
    client_uuid: str = field(default_factory=lambda: str(uuid4()))
    left: AnswersLeft = field(default_factory=lambda: AnswersLeft(()))
    is_changing: bool = False
    photos: list = field(default_factory=list)
    before: TestPoint | None = None
    after: TestPoint | None = None

    @property
    def known(self):
        """Identifiers of the results that the card shows: whoever answers has had them before them."""
        return [str(result.client_uuid) for result in self.left.results]

    @property
    def failed_defects(self):
        """Open defects of the fails shown, which a pass at this point has to close."""
        defects = (getattr(fail, "defect", None) for fail in self.left.fails)
        return [defect for defect in defects if defect and defect.is_open]

    @property
    def asked_figures(self):
        """What the record lacks for judging this reading, with what was typed; nothing where no reading is taken."""
        result = self.point.latest_result
        kept = {name: f"{number:g}" for name, number in ((result and result.figures) or {}).items()}
        typed = self.typed.get("figures", kept)
        return [(one, typed.get(one.name, "")) for one in self.point.rule.still_asked()] if self.point.quantity else []

    @property
    def asks_of_reading(self):
        """Whether they belong to the reading, not to a product model."""
        return bool(self.point.rule.of_reading())

    @property
    def is_done(self):
        return self.point.latest_result_id is not None

    @property
    def difference(self):
        """How far the recorded reading is from that of the last visit, in %, or None."""
        result = self.point.latest_result
        return result and difference_percent(result.reading, self.point.reading_before)


def difference_percent(reading, before):
    if reading is None or not before or reading * before < 0:
        return None
    return round((reading - before) / abs(before) * 100)


def position_page(
    request, visit, position_pk, refused=None, typed=None, status=200, is_last=False, walk=None, memory=None
):
    """The page of one position; `refused` is a Verdict, `typed` what was sent with it; `is_last`: at the end.

    `walk` and `memory` (what is known of its positions) where they have been read already.
    """
    walk = walk or walk_of(visit)
    number = walk.number_of(position_pk, is_last=is_last)
    if number is None:
        raise Http404
    stop = walk.stops[number]
    position = stop.position
    panels = ControlPanel.objects.filter(position=position).select_related("position__product_model")
    panel = panels.first() if position.kind == "control_panel" else None
    closable = list(closable_at([position.pk], visit))
    cards = [_card(point, visit, closable, refused, typed) for point in _points_at(visit, position, is_last)]
    for earlier, later in pairwise(cards):
        earlier.after, later.before = later.point, earlier.point
    for card in cards:
        card.is_changing = bool(card.error) or request.GET.get("change") == str(card.point.pk)
    before, after, next_open = walk.around(number)
    photos = _photos_at(visit, position, cards)
    context = {
        "visit": visit,
        "building": visit.building,
        "walk": walk,
        "back_url": reverse("visit-field", args=[visit.pk]) + f"#{stop.anchor}",
        "back_word": capfirst(storey_words(walk.storey_of(stop).name)),
        "stop": stop,
        "position": position,
        "known": (memory or Memory(visit)).of(position, [card.point for card in cards]),
        "cards": cards,
        "photos": photos,
        "first_card": _first_shown(cards),
        "panel": panel,
        "orders": power_orders(panel.position.product_model) if panel and not is_last else (),
        "before": before,
        "after": after,
        "next_open": next_open,
        "defects": Defect.objects.open().filter(position=position).worst_first(),
        "outcomes": Outcome,
        "severities": [(key, word, SEVERITY_MEANING[key]) for key, word in Severity.choices],
        "takes_answers": visit.state in ("under_way", "finished"),
        "page_data": page_data(request.user, visit, walk, cards),
    }
    return render(request, "inspections/visits/visit_field_position.html", context, status=status)


def _photos_at(visit, position, cards):
    """Photographs of this visit that are of the position or its defects; those of its tests go to their cards."""
    by_point = {card.point.pk: card for card in cards}
    photos = visit.photos.standing().filter(
        Q(test_point__in=by_point) | Q(position=position) | Q(defect__position=position)
    )
    others = []
    for photo in photos.select_related("visit", "test_point__position", "position", "defect__position"):
        card = by_point.get(photo.test_point_id)
        (card.photos if card else others).append(photo)
    return others


def _first_shown(cards):
    """The test that the page opens with; None where it opens with the list of them, as all of several are done."""
    asking = (card for card in cards if card.is_changing or not card.is_done or card.point.is_contradicted)
    return next(asking, cards[0] if len(cards) == 1 else None)


def _points_at(visit, position, is_last):
    """Test points done at a position, in order; at a panel that is come back to, those of one of the two times."""
    return (
        visit.test_points.filter(Q(done_at=position) | Q(done_at=None, position=position))
        .filter(Q(leg=Leg.END) if is_last else ~Q(leg=Leg.END))
        .select_related("latest_result__recorded_by", "check_of", "planned_step", "position")
        .prefetch_related(Prefetch("results", Result.objects.select_related("recorded_by", "defect")))
        .with_reading_before()
        .order_by("order", "pk")
    )


def _card(point, visit, closable, refused, typed):
    offered = []
    for defect in closable:
        found_by = defect.found_by_result
        is_same_check = found_by is None or found_by.test_point.code == point.code
        if is_same_check or visit.kind == "remedial":
            offered.append(defect)
    card = Card(point, offered, left=answers_left(point, point.results.all()))
    if refused and refused.test_point_id == point.pk:
        card.typed, card.error = typed, refused.message
    return card


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
        return JsonResponse({"message": "This could not be read. Nothing was taken."}, status=400)
    if person not in (None, request.user.pk):
        message = (
            f"{request.user.full_name} is logged in on this phone, but somebody else gave these answers. "
            "They go out only when that person has logged in here again."
        )
        return JsonResponse({"message": message}, status=409)
    if not isinstance(answers, list) or len(answers) > MOST_ANSWERS:
        message = f"Send a list of at most {MOST_ANSWERS} answers. Nothing was taken."
        return JsonResponse({"message": message}, status=400)
    verdicts = take_answers(visit=visit, person=request.user, answers=answers, sent_at=sent_at, received_at=received_at)
    return JsonResponse(
        {
            "verdicts": [asdict(verdict) for verdict in verdicts],
            "progress": visit.test_points.aggregate(done=Count("latest_result"), total=Count("pk")),
            "received_at": received_at.isoformat(),  # by it the phone knows how far its clock is out
        }
    )


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
        return position_page(request, visit, place, verdict, typed, status=422, is_last=is_last)
    for note in verdict.notes:
        messages.success(request, note)
    return redirect(point.field_url)


def fitting_at(position):
    return Fitting.objects.open().filter(position=position).select_related("unit__product_model__maker").first()
