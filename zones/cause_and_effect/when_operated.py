"""What must open and what must stay shut when one device is operated, from rest and with every delay elapsed."""

from dataclasses import dataclass

from zones.cause_and_effect.records import PanelLogic
from zones.engineering.cause_and_effect import Action, Event, Simulation
from zones.engineering.findings import listed


@dataclass(frozen=True, slots=True)
class WhenOperated:
    """`how`: what is done, in words; `opens` and `stays_shut`: names of vent groups."""

    how: str
    opens: tuple[str, ...]
    stays_shut: tuple[str, ...]
    is_delayed: bool

    @property
    def opens_words(self):
        return listed(self.opens)

    @property
    def stays_shut_words(self):
        return listed(self.stays_shut)


def when_operated(read: PanelLogic, simulation: Simulation, position) -> list[WhenOperated]:
    """What each way of operating a device does; where it opens nothing alone, what it does with those of a coincidence.

    Args:     simulation: of the rules of `read`, made once for all positions of a panel.
    """
    events = _first_events(simulation, f"d{position.pk}")
    found = [_done(read, simulation, (event,)) for event in events]
    if found and not any(one.opens for one in found):
        found += [_done(read, simulation, (*others, *events[:1])) for others in _coincident(read, simulation, position)]
    return found


def _first_events(simulation, key):
    """Ways of operating an input at rest; what only takes it back is none."""
    possible = simulation.events_possible(simulation.initial_state())
    return [one for one in possible if one.subject == key and one.action not in (Action.OFF, Action.AUTO)]


def _coincident(read, simulation, position):
    """Of each coincidence that it is of, what operates the others."""
    coincidences = {rule.coincidence_id: rule.coincidence for rule in read.rules.values() if rule.coincidence_id}
    for coincidence in coincidences.values():
        members = list(coincidence.positions.all())
        if position in members:
            others = [_first_events(simulation, f"d{one.pk}")[:1] for one in members if one != position]
            yield tuple(event for events in others for event in events)


def _done(read, simulation, events):
    state, is_delayed = simulation.initial_state(), False
    for event in events:
        state = simulation.step(state, event).state
    for _ in read.ruleset.rules:  # each delay elapses once
        waiting = simulation.snapshot(state).waiting
        if not waiting:
            break
        state, is_delayed = simulation.step(state, Event(waiting[0], Action.ELAPSED)).state, True
    names = {group.key: str(group) for group in read.ruleset.groups}
    open_now = {view.group for view in simulation.snapshot(state).groups if view.position.is_open}
    return WhenOperated(
        how=", then ".join(simulation.words(event) for event in events),
        opens=tuple(name for key, name in names.items() if key in open_now),
        stays_shut=tuple(name for key, name in names.items() if key not in open_now),
        is_delayed=is_delayed,
    )
