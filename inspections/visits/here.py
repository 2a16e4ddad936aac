"""All that the page of a stop shows, read for many stops of a visit at once: a phone takes hundreds along."""

from collections import defaultdict
from dataclasses import dataclass, field
from itertools import pairwise

from django.db.models import Prefetch, Q

from inspections.defects.edits import closable_at
from inspections.models import Defect, Result
from inspections.models.test_points import Leg
from inspections.visits.cards import Card, card_of
from inspections.visits.memory import Known, Memory
from inspections.visits.walk import Stop
from zones.models import ControlPanel


@dataclass
class Here:
    """One stop with its tests and what is known there; `photos` are those of no test."""

    stop: Stop
    cards: list[Card]
    known: Known
    panel: ControlPanel | None
    defects: list[Defect]
    photos: list = field(default_factory=list)

    @property
    def first_card(self):
        """The test that the page opens with; None where it opens with the list of them, as all of several are done."""
        asking = (card for card in self.cards if card.is_changing or not card.is_done or card.point.is_contradicted)
        return next(asking, self.cards[0] if len(self.cards) == 1 else None)

    def refuse(self, verdict, typed):
        """Show a refused answer where it was given, with its reason."""
        for card in self.cards:
            if card.point.pk == verdict.test_point_id:
                card.typed, card.error, card.is_changing = typed, verdict.message, True


def read_stops(visit, stops, memory=None, points=None):
    """`Here` of each of these stops; the same number of queries for one and for many.

    Args:     memory: that of the visit, where what is of its panels has been read already; points: (place, is last) →
              its test points, where they are not stored yet.
    """
    keys = [stop.position.pk for stop in stops]
    points = _points_at(visit, keys) if points is None else points
    closable = _by_position(closable_at(keys, visit))
    cards = [
        _cards(points[stop.position.pk, stop.is_last], visit, closable.get(stop.position.pk, [])) for stop in stops
    ]
    panels = {panel.position_id: panel for panel in _panels_at(stops)}
    defects = _by_position(Defect.objects.open().filter(position__in=keys).worst_first())
    asked = [(stop.position, [card.point for card in own]) for stop, own in zip(stops, cards, strict=True)]
    known = (memory or Memory(visit)).of_many(asked)
    found = [
        Here(
            stop=stop,
            cards=own,
            known=what,
            panel=panels.get(stop.position.pk),
            defects=defects.get(stop.position.pk, []),
        )
        for stop, own, what in zip(stops, cards, known, strict=True)
    ]
    _add_photos(visit, keys, found)
    return found


def _cards(points, visit, closable):
    cards = [card_of(point, visit, closable) for point in points]
    for earlier, later in pairwise(cards):
        earlier.after, later.before = later.point, earlier.point
    return cards


def _panels_at(stops):
    keys = [stop.position.pk for stop in stops if stop.position.kind == "control_panel"]
    return ControlPanel.objects.filter(position__in=keys).select_related("position__product_model")


def _by_position(defects):
    found = defaultdict(list)
    for defect in defects:
        found[defect.position_id].append(defect)
    return found


def _points_at(visit, keys):
    """(place, is last) → test points that are done there, in order; a panel that is come back to has those of both."""
    points = (
        visit.test_points.filter(Q(done_at__in=keys) | Q(done_at=None, position__in=keys))
        .select_related("latest_result__recorded_by", "check_of", "planned_step", "position")
        .prefetch_related(Prefetch("results", Result.objects.select_related("recorded_by", "defect")))
        .with_reading_before()
        .with_reading_first()
        .order_by("order", "pk")
    )
    found = defaultdict(list)
    for point in points:
        found[point.done_at_id or point.position_id, point.leg == Leg.END].append(point)
    return found


def _add_photos(visit, keys, found):
    """Photographs of this visit: of a test to its card, of a position or its defects to each of its stops."""
    cards = {card.point.pk: card for here in found for card in here.cards}
    photos = visit.photos.standing().filter(
        Q(test_point__in=cards) | Q(position__in=keys) | Q(defect__position__in=keys)
    )
    for photo in photos.select_related("visit", "test_point__position", "position", "defect__position"):
        if card := cards.get(photo.test_point_id):
            card.photos.append(photo)
            continue
        place = photo.position_id or (photo.defect and photo.defect.position_id)
        for here in found:
            if here.stop.position.pk == place:
                here.photos.append(photo)
