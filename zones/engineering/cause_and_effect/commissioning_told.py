"""What share of panels set up wrongly in one thing a plan of commissioning shows, and what it leaves unseen."""

from zones.engineering.cause_and_effect.commissioning import CommissioningStep, Told
from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.panels_at_once import PanelsAtOnce
from zones.engineering.cause_and_effect.rules import RuleSet
from zones.engineering.cause_and_effect.wrong_panels import wrong_panel_words, wrong_panels


def told_by(steps: tuple[CommissioningStep, ...], ruleset: RuleSet) -> Told:
    """Which wrong panels do in some step otherwise than the designed one, seen with a clock from rest in each round.

    Counted are all mistakes of `wrong_panels`, also those that no test could show. Give only the steps that were done
    to learn what they show.
    """
    wrong = wrong_panels(ruleset)
    panels, told = PanelsAtOnce(ruleset, wrong), 0
    for events in _rounds(steps):
        standing = panels.rest()
        panels.replay(standing, events)
        told |= standing.told
    unseen = [wrong_panel_words(ruleset, one) for k, one in enumerate(wrong, 1) if not told >> k & 1]
    return Told(told.bit_count(), len(wrong), tuple(f"{one[:1].upper()}{one[1:]}." for one in unseen))


def _rounds(steps: tuple[CommissioningStep, ...]) -> list[tuple[Event, ...]]:
    """The events of each round from rest to its last step."""
    longest: dict[int, tuple[Event, ...]] = {}
    for step in steps:
        if len(step.events) > len(longest.get(step.round, ())):
            longest[step.round] = step.events
    return list(longest.values())
