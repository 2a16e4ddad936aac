"""What can happen to a panel, one thing at a time, and its short text for an address."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from zones.engineering.cause_and_effect.rules import Action, RuleSet, actions_of, keys_of
from zones.engineering.cause_and_effect.words import action_words, rule_words

MOST_EVENTS = 200
_TEXT = re.compile(r"([A-Za-z0-9_-]+)\.([a-z]+)")


class EventError(ValueError):
    """An event that cannot be read or cannot happen; the message is a sentence for the person."""


@dataclass(frozen=True, slots=True, order=True)
class Event:
    """Something happens to an input (`subject` is its key), or the delay of a rule elapses (its key)."""

    subject: str
    action: Action

    def __str__(self) -> str:
        return f"{self.subject}.{self.action}"


def encode_events(events: Iterable[Event]) -> str:
    """A sequence as short text that needs no escaping in an address: "sd11.on~r4.elapsed~reset.press"."""
    return "~".join(str(one) for one in events)


def decode_events(ruleset: RuleSet, text: str) -> tuple[Event, ...]:
    """The sequence that the text stands for; empty text is the empty sequence.

    Raises:   EventError: naming the piece that cannot be read, is not of this panel, or is too much.
    """
    pieces = text.split("~") if text else []
    if len(pieces) > MOST_EVENTS:
        raise EventError(f"The sequence has {len(pieces)} events. At most {MOST_EVENTS} can be shown: shorten it.")
    inputs, rules = keys_of(ruleset.inputs), keys_of(ruleset.rules)
    return tuple(_decode(piece, number, inputs, rules) for number, piece in enumerate(pieces, 1))


def _decode(piece: str, number: int, inputs: dict, rules: dict) -> Event:
    matched = _TEXT.fullmatch(piece)
    shown = repr(piece if len(piece) <= 40 else f"{piece[:40]}…")
    if not matched or matched[2] not in set(Action):
        raise EventError(f"Event {number} of the sequence, {shown}, cannot be read. Start the sequence again.")
    event = Event(matched[1], Action(matched[2]))
    if event.action is Action.ELAPSED:
        known = event.subject in rules and rules[event.subject].delay_s > 0
    else:
        known = event.subject in inputs and event.action in actions_of(inputs[event.subject].kind)
    if not known:
        raise EventError(
            f"Event {number} of the sequence, {shown}, is about something this panel does not have. "
            "Its devices or rules were changed since: start the sequence again."
        )
    return event


def event_words(ruleset: RuleSet, event: Event) -> str:
    """The event as a sentence without its full stop: "Detector 1 operates"."""
    if event.action is Action.ELAPSED:
        rule = keys_of(ruleset.rules)[event.subject]
        return f"the delay of {rule.delay_s} s of {rule_words(ruleset, rule)} elapses"
    one = keys_of(ruleset.inputs)[event.subject]
    return f"{one} {action_words(one.kind, event.action)}"
