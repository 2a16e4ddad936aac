"""What the simulator shows: the panel after the events so far, zone by zone, inputs left and vents right."""

from dataclasses import dataclass

from sites_registry.states import key_and_word
from zones.cause_and_effect.records import PanelLogic
from zones.cause_and_effect.simulator_overview import simulator_overview
from zones.engineering.cause_and_effect import (
    Action,
    Event,
    InputKind,
    Position,
    Simulation,
    action_words,
    encode_events,
    target_words,
)
from zones.engineering.drawings.zone_overview import ZoneOverview

WORDS_OF = {
    Position.SHUT: key_and_word("shut"),
    Position.PART_WAY: key_and_word("part_way"),
    Position.OPEN_VENTILATION: key_and_word("open_ventilation"),
    Position.OPEN: key_and_word("open_smoke"),
}
# Short words for the buttons of a device with several.
SHORT = {Action.ON: "operate", Action.OFF: "restore", Action.PRESS: "press"}
SHORT_OF_KIND = {
    InputKind.MAINS_FAULT: {Action.ON: "fail", Action.OFF: "return"},
    InputKind.BATTERY_FAULT: {Action.ON: "fail", Action.OFF: "mend"},
    InputKind.LINE_FAULT: {Action.ON: "fault", Action.OFF: "mend"},
    InputKind.LINK_FAULT: {Action.ON: "break", Action.OFF: "mend"},
    InputKind.RAIN: {Action.ON: "rain", Action.OFF: "dry"},
    InputKind.WIND: {Action.ON: "wind", Action.OFF: "calm"},
}


@dataclass(frozen=True)
class InputShown:
    """One input with the buttons that can be pressed now; `said` is where it stands, "" at rest."""

    label: str
    kind: str
    said: str
    is_fault: bool
    buttons: list  # (text of the event, word, full words)


@dataclass(frozen=True)
class GroupShown:
    """One vent group: where it stands, why, and whether this event moved it."""

    label: str
    state: str
    word: str
    why: str
    has_moved: bool
    tags: list


@dataclass(frozen=True)
class ZoneShown:
    """A zone: its inputs, its groups, its lamp; `key` "" holds what belongs to the whole panel."""

    key: str
    label: str
    inputs: list
    groups: list
    in_alarm: bool = False
    is_locked_out: bool = False
    lamp: bool = False


@dataclass(frozen=True)
class Recorded:
    """One event of the sequence with what it did."""

    number: int
    words: str
    sentences: tuple
    is_shown: bool


@dataclass(frozen=True)
class SimulatorPage:
    """Everything the page needs; `at` events of `events` have happened."""

    zones: list
    panel_wide: ZoneShown
    outputs: list
    waiting: list  # delays that run: (text of the event, words)
    recorded: list
    at: int
    text: str
    overview: ZoneOverview  # the same as a drawing; the key of an input is its event, "" before it when it cannot be

    @property
    def now(self):
        """The event that just happened, or None at rest."""
        return self.recorded[self.at - 1] if self.at else None

    @property
    def has_back(self):
        return self.at > 0

    @property
    def has_on(self):
        return self.at < len(self.recorded)


def simulator_page(read: PanelLogic, events, at):
    """The page after the first `at` of these events. Raises RuleSetError, EventError."""
    simulation = Simulation(read.ruleset)
    steps = simulation.replay(events)
    state = steps[at - 1].state if at else simulation.initial_state()
    moved = {move.group for move in steps[at - 1].moves} if at else set()
    snapshot = simulation.snapshot(state)
    possible = _by_subject(simulation.events_possible(state))
    shown = {}
    for one in read.ruleset.inputs:
        shown.setdefault(one.zone or "", []).append(_input(one, snapshot, possible))
    return SimulatorPage(
        zones=[_zone(zone, read, snapshot, moved, shown.get(zone.key, [])) for zone in read.ruleset.zones],
        panel_wide=ZoneShown("", "Whole panel", shown.get("", []), []),
        outputs=sorted({target_words(read.ruleset, one) for one in snapshot.lamps if one.kind == "output"}),
        waiting=[
            (str(Event(key, Action.ELAPSED)), simulation.words(Event(key, Action.ELAPSED))) for key in snapshot.waiting
        ],
        recorded=[
            Recorded(number, simulation.words(done.event), done.sentences, number == at)
            for number, done in enumerate(steps, 1)
        ],
        at=at,
        text=encode_events(events),
        overview=simulator_overview(read, snapshot, possible, _short_words),
    )


def _by_subject(events):
    found = {}
    for event in events:
        found.setdefault(event.subject, []).append(event)
    return found


def _short_words(one, event):
    return {**SHORT, **SHORT_OF_KIND.get(one.kind, {})}.get(event.action, event.action.value)


def _input(one, snapshot, possible):
    at = snapshot.operated.get(one.key)
    return InputShown(
        label=str(one),
        kind=one.kind.words,
        said=action_words(one.kind, at) if at else "",
        is_fault=one.key in snapshot.faults,
        buttons=[
            (str(event), _short_words(one, event), action_words(one.kind, event.action))
            for event in possible.get(one.key, [])
        ],
    )


def _zone(zone, read, snapshot, moved, inputs):
    own = {group.key: group for group in read.ruleset.groups if group.zone == zone.key}
    groups = []
    for view in snapshot.groups:
        if view.group in own:
            state, word = WORDS_OF[view.position]
            groups.append(
                GroupShown(
                    str(own[view.group]),
                    state,
                    word,
                    view.why,
                    view.group in moved,
                    read.vents.get(view.group, []),
                )
            )
    return ZoneShown(
        zone.key,
        str(zone),
        inputs,
        groups,
        in_alarm=zone.key in snapshot.alarms,
        is_locked_out=zone.key in snapshot.locked_out,
        lamp=any(one.kind == "zone" and one.key == zone.key for one in snapshot.lamps),
    )
