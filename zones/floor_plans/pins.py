"""Positions as marks on a plan on the screen: where, in which shape, what is said of them."""

from dataclasses import dataclass
from itertools import pairwise

from sites_registry.states import state_of
from sites_registry.words import storey_words
from zones.models import FloorPlan, Position

SHARE = "{:.3f}%"
LONGER_SIDE_PX = 1200  # at 100 %: what a desk shows whole


@dataclass(frozen=True)
class PlanDrawing:
    """A plan with its pins as a page shows it; `route` in the order of the pins where it is a walk."""

    plan: FloorPlan
    pins: list
    route: tuple = ()

    @property
    def what(self):
        return f"Floor plan, {storey_words(self.plan.storey) or 'no storey given'}"

    @property
    def width(self):
        return round(self.plan.width_px * self._scale)

    @property
    def height(self):
        return round(self.plan.height_px * self._scale)

    @property
    def _scale(self):
        return LONGER_SIDE_PX / max(self.plan.width_px, self.plan.height_px)

    @property
    def lines(self):
        """The route from pin to pin."""
        return list(pairwise(self.route))


@dataclass(frozen=True)
class Pin:
    """One position on its place. x and y are per cent; `state` is a key of the table of states, "" for none."""

    position: Position
    x: str
    y: str
    url: str
    state: str = ""
    words: str = ""
    short: str = ""  # in place of the glyph
    number: int | None = None
    stop: object = None  # of a walk: how far its tests are

    @property
    def tone(self):
        return str(state_of(self.state).tone) if self.state else ""

    @property
    def sign(self):
        """What tells its state without colour: the glyph, or what is shorter than words."""
        return self.short or (state_of(self.state).glyph if self.state else "")

    @property
    def shape(self):
        """Rectangle, circle, battery or dashed: a general shape of IEC 60617, by the kind of device."""
        return self.position.facts.symbol.shape.value

    @property
    def letters(self):
        """Letters of the kind, which tell kinds of one shape apart."""
        return self.position.facts.tag_prefix

    @property
    def said(self):
        """All of it in words, for whoever does not see it."""
        return ", ".join(part for part in (self.position.tag, self.position.get_kind_display(), self.words) if part)


def pin_of(place, **more):
    """The pin of a PlanPlace; `more` are further fields of it."""
    more = {"url": place.position.get_absolute_url(), **more}
    return Pin(place.position, SHARE.format(place.x * 100), SHARE.format(place.y * 100), **more)


def pin_to_place(place):
    """A pin for the page on which places are made: to be confirmed or not."""
    if place.confirmed_at is None:
        return pin_of(place, state="to_confirm", words="place to be confirmed")
    return pin_of(place)
