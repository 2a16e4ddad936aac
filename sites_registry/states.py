"""Every state that the register shows: its key, its tone with the glyph, and its word. The only such table.

A key stands in the database, in code or in a template; what a person sees of it is looked up here. A place that can say
more than the word ("overdue by 3 days") gives its own words. A state is never colour alone: each tone has its glyph.
"""

from dataclasses import dataclass
from enum import StrEnum

from django.utils.html import format_html


class Tone(StrEnum):
    """How a state is to be taken, the worst first."""

    ALARM = "alarm"
    UNKNOWN = "unknown"
    ATTENTION = "attention"
    QUIET = "quiet"
    GOOD = "good"


ALARM, UNKNOWN, ATTENTION, QUIET, GOOD = Tone
GLYPHS = {ALARM: "■", UNKNOWN: "?", ATTENTION: "▲", QUIET: "○", GOOD: "●"}

_ROWS = {
    # visits
    "planned": (QUIET, "planned"),
    "under_way": (ATTENTION, "under way"),
    "finished": (GOOD, "finished"),
    "called_off": (QUIET, "called off"),
    # certificates
    "in_force": (GOOD, "not withdrawn"),
    "superseded": (QUIET, "superseded"),
    "revoked": (ALARM, "revoked"),
    "limited": (ATTENTION, "limited"),
    # a certificate not withdrawn, by the date of the next inspection
    "next_ahead": (GOOD, "not withdrawn, next inspection ahead"),
    "next_ahead_limited": (ATTENTION, "not withdrawn, limited, next inspection ahead"),
    "next_past": (ATTENTION, "not withdrawn, next inspection past its date"),
    "next_unknown": (UNKNOWN, "not withdrawn, no date of the next inspection"),
    # outcomes
    "pass": (GOOD, "pass"),
    "remark": (ATTENTION, "pass with remark"),
    "fail": (ALARM, "fail"),
    "not_accessible": (ATTENTION, "not accessible"),
    "not_applicable": (QUIET, "not applicable"),
    "not_asked": (QUIET, "not asked"),
    "accepted": (ATTENTION, "accepted"),
    "untested": (UNKNOWN, "untested"),
    "contradicted": (ALARM, "answers contradict each other"),
    # severities
    "impaired": (ALARM, "impaired"),
    "degraded": (ATTENTION, "degraded"),
    "minor": (QUIET, "minor"),
    "advice": (QUIET, "advice"),
    # findings of the design check
    "not_met": (ALARM, "not met"),
    "fault": (ALARM, "fault"),
    "not_known": (UNKNOWN, "not known"),
    "question": (ATTENTION, "needs review"),
    "meets": (GOOD, "within the entered limit"),
    "note": (QUIET, "note"),
    "not_checked": (QUIET, "not checked yet"),
    # as-installed revisions; not checked as a design is
    "only_checked": (ATTENTION, "checked, not approved"),
    "approved": (GOOD, "checked and approved"),
    # settings compared with those as left, and units told apart from identical ones
    "as_left": (GOOD, "as left"),
    "differs": (ALARM, "differs"),
    "recorded": (ATTENTION, "found, not known before"),
    "not_seen": (ATTENTION, "not seen"),
    "proven": (GOOD, "confirmed"),
    "not_proven": (ATTENTION, "not confirmed"),
    # places on a floor plan
    "to_confirm": (ATTENTION, "to be confirmed"),
    # due
    "overdue": (ALARM, "overdue"),
    "due_soon": (ATTENTION, "due soon"),
    "in_date": (GOOD, "in date"),
    "never": (UNKNOWN, "no inspection on record"),
    "not_due": (QUIET, "not due yet"),
    "out_of_service": (ATTENTION, "out of service"),
    "missed": (ATTENTION, "planned, not recorded as done"),
    # open things
    "open": (ATTENTION, "open"),
    "closed": (GOOD, "closed"),
    "draft": (QUIET, "draft"),
    "published": (GOOD, "published"),
    "withdrawn": (QUIET, "withdrawn"),
    "in_order": (GOOD, "in order"),
    "not_in_order": (ALARM, "not in order"),
    "missing": (ATTENTION, "missing"),
    "fitted": (GOOD, "fitted"),
    "expired": (QUIET, "expired"),
    "readable": (ATTENTION, "can be opened"),
    "past_planned_end": (ALARM, "past planned end"),
    "ended": (GOOD, "ended"),
    "corrected": (QUIET, "corrected"),
    "known": (GOOD, "known"),
    "unknown": (UNKNOWN, "unknown"),
    "retired": (QUIET, "no longer used"),
    "active": (GOOD, "on"),
    "inactive": (QUIET, "off"),
    # where a vent stands in the simulator, and what holds a zone
    "shut": (QUIET, "shut"),
    "part_way": (ATTENTION, "stopped part-way"),
    "open_ventilation": (GOOD, "open for ventilation"),
    "open_smoke": (ALARM, "open for smoke"),
    "in_alarm": (ALARM, "in alarm"),
    "at_rest": (QUIET, "no alarm"),
    "locked_out": (ATTENTION, "locked out"),
    "attention": (ATTENTION, "attention"),
    # rows of an import, and how far it got
    "new": (GOOD, "new"),
    "changed": (ATTENTION, "changed"),
    "swap": (ATTENTION, "unit swapped"),
    "unchanged": (QUIET, "unchanged"),
    "faulty": (ALARM, "faulty"),
    "mapping": (ATTENTION, "columns to confirm"),
    "checking": (ATTENTION, "being checked"),
    "checked": (ATTENTION, "ready to look at"),
    "applied": (GOOD, "applied"),
    # mails
    "queued": (ATTENTION, "waiting"),
    "sent": (GOOD, "sent"),
    "failed": (ALARM, "not sent"),
}


class UnknownState(LookupError):
    """A key that the table has no row for."""


@dataclass(frozen=True, slots=True)
class State:
    """One row; `word` is what is said where nothing more is known."""

    key: str
    tone: Tone
    word: str

    @property
    def glyph(self):
        return GLYPHS[self.tone]

    def as_data(self, word=""):
        """Tone, glyph and word as a script of ours takes them."""
        return {"tone": str(self.tone), "glyph": self.glyph, "word": word or self.word}


STATES = {key: State(key, tone, word) for key, (tone, word) in _ROWS.items()}


def state_of(key):
    """The row of a state.

    Raises:   UnknownState: the table has no such row; shown with a guessed tone, a state could look harmless.
    """
    try:
        return STATES[str(key)]
    except KeyError:
        raise UnknownState(f"There is no state {str(key)!r}. Give it a row in sites_registry/states.py.") from None


def key_and_word(key):
    """A state as a choice of a model or a form: what is stored, and what is shown of it."""
    return key, state_of(key).word


def tone_rank(key):
    """Sorts keys of states by how bad their tone is."""
    return list(Tone).index(state_of(key).tone)


def state_mark(key, word=""):
    """Glyph, word and tone as a page shows them; `word` where the place says more than the table."""
    state = state_of(key)
    return format_html(
        '<span class="state {}"><span class="glyph" aria-hidden="true">{}</span>{}</span>',
        state.tone,
        state.glyph,
        word or state.word,
    )


def answer_mark(key, words):
    """A state as its glyph, with words where not all is well; they are always there to be read out."""
    if state_of(key).tone is not Tone.GOOD:
        return state_mark(key, words)
    spoken = format_html('<span class="visually-hidden">{}</span>', words)
    return format_html('<span class="mark" title="{}">{}</span>', words, state_mark(key, spoken))
