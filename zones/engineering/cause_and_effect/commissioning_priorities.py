"""Rounds in which two causes meet: which goes first, in both orders; what a lock-out keeps shut. See `commissioning`.

Zones are tried together where they do not lock each other out, so that the rain sensor is wetted once for all of them.
What does not show that way is tried zone by zone, and at last pair by pair: nothing is left out for being together.
"""

from collections.abc import Iterable, Iterator

from zones.engineering.cause_and_effect.commissioning import Phase, PriorityPair, rule_pairs, zones_to_lock_out
from zones.engineering.cause_and_effect.commissioning_round import Panel, Round
from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.moments import is_alarm_rule
from zones.engineering.cause_and_effect.properties import zones_acted_in
from zones.engineering.cause_and_effect.rules import (
    MOMENTARY,
    WEATHER,
    Input,
    Rule,
    RuleSet,
    Zone,
)

MOST_ZONES_TOGETHER = 4  # as many as two people operate and watch at once (common practice [P])

PairKey = tuple[str, int, int]  # zone, stronger priority, weaker priority
Met = tuple[PairKey, Rule, Rule]  # with the stronger and the weaker rule


class Meetings:
    """The rounds of priorities and of lock-outs of one panel."""

    def __init__(self, ruleset: RuleSet, panel: Panel):
        self._ruleset, self._panel = ruleset, panel
        self._done: set[PriorityPair] = set()

    def rounds(self) -> Iterator[Round]:
        """Every pair of priorities in both orders, in as few rounds as show it, then the lock-outs."""
        pairs = [(key, *rules) for key, rules in rule_pairs(self._ruleset).items()]
        for team in self._teams():
            yield from self._in_rounds([one for one in pairs if one[0][0] in team], _by_priority)
        yield from self._in_rounds([one for one in pairs if self._left(one[0])], _by_rule)
        for one in pairs:
            yield from self._tried([one], self._strong_around) if self._left(one[0]) else ()
        yield from self._lockout_rounds()

    def _left(self, key: PairKey) -> bool:
        return any(PriorityPair(*key, last) not in self._done for last in (False, True))

    def _teams(self) -> Iterator[set[str]]:
        """Zones that may be in alarm together, a few at a time."""
        seen: dict[str, int] = {}
        by_turn: dict[int, list[Zone]] = {}
        for zone in self._ruleset.zones:
            turn = seen.get(zone.lockout_group, 0) if zone.lockout_group else 0
            seen[zone.lockout_group] = turn + 1
            by_turn.setdefault(turn, []).append(zone)
        for zones in by_turn.values():
            for start in range(0, len(zones), MOST_ZONES_TOGETHER):
                yield {one.key for one in zones[start : start + MOST_ZONES_TOGETHER]}

    def _in_rounds(self, pairs: list[Met], key_of) -> Iterator[Round]:
        """The weakest meet first. A weaker rule that latches is tried after the stronger one, while it is still new."""
        together: dict[tuple, list[Met]] = {}
        for one in pairs:
            together.setdefault(key_of(*one), []).append(one)
        for _, alike in sorted(together.items(), key=lambda one: -one[1][0][0][1]):
            yield from self._tried(alike, self._strong_around if alike[0][2].is_latching else self._strong_last)

    def _tried(self, alike: list[Met], how) -> Iterator[Round]:
        """The round, unless it shows nothing new."""
        before = len(self._done)
        round_ = Round(self._panel, self._stand(alike))
        how(round_, alike)
        if len(self._done) > before:
            round_.restore()
            yield round_

    def _stand(self, alike: list[Met]) -> Input | None:
        """At the sensor of the weather, which only one who is there can wet; else at the last of the zones' devices."""
        devices = [one for _, strong, weak in alike for one in self._devices(strong, weak)]
        zones = {key[0] for key, _, _ in alike}
        for wanted in (
            [one for one in devices if one.kind in WEATHER],
            [one for one in devices if one.zone in zones],
            devices,
        ):
            if wanted:
                return max(wanted, key=lambda one: one.place)
        return None

    # --- one round ---

    def _strong_around(self, round_: Round, alike: list[Met]):
        self._bring(round_, [strong for _, strong, _ in alike])
        self._weaker_last(round_, alike)
        self._stronger_last(round_, alike, set())

    def _strong_last(self, round_: Round, alike: list[Met]):
        brought: set[str] = set()
        for some in _by_class(alike):
            weak = [one[2] for one in some]
            brought |= set(self._bring(round_, weak, round_.room_for(weak))) & {one.key for one in weak}
        self._stronger_last(round_, alike, brought)
        for some in _by_class(alike):
            self._weaker_last(round_, some)

    def _weaker_last(self, round_: Round, alike: list[Met]):
        """The weaker rules brought about while the stronger ones are in force: they must not get through."""
        left = [one for one in alike if PriorityPair(*one[0], True) not in self._done]
        acted = self._bring(round_, [weak for _, _, weak in left])
        shown = [
            key
            for key, strong, weak in left
            if weak.key in acted and (strong.key in acted or self._springs_back(strong))
        ]
        self._claim(round_, shown, True)

    def _stronger_last(self, round_: Round, alike: list[Met], brought: set[str]):
        acted = self._bring(round_, [strong for _, strong, _ in alike])
        shown = [key for key, strong, weak in alike if strong.key in acted and weak.key in {*brought, *acted}]
        self._claim(round_, shown, False)

    def _claim(self, round_: Round, keys: list[PairKey], weaker_last: bool):
        pairs = {PriorityPair(*key, weaker_last) for key in keys} - self._done
        if pairs:
            round_.claim(pairs=tuple(sorted(pairs)))
            self._done |= pairs

    def _bring(self, round_: Round, rules: list[Rule], first: Iterable[Event] = ()) -> tuple[str, ...]:
        """Bring rules about in one step; the keys of the rules that then act."""
        events = dict.fromkeys(first)
        for rule in rules:
            events |= dict.fromkeys(round_.events_for(rule) or ())
        return round_.operate(list(events), Phase.PRIORITY).rules if events else ()

    def _springs_back(self, rule: Rule) -> bool:
        return not rule.is_latching and all(one.kind in MOMENTARY for one in self._devices(rule))

    def _devices(self, *rules: Rule) -> Iterator[Input]:
        for rule in rules:
            yield from self._ruleset.inputs_of(rule.cause)

    # --- lock-outs ---

    def _lockout_rounds(self) -> Iterator[Round]:
        """One zone first and the others after it; then another first, so that each is seen kept shut."""
        wanted = zones_to_lock_out(self._ruleset)
        groups = {one.lockout_group for one in self._ruleset.zones if one.key in wanted}
        for name in sorted(groups):
            rules = [
                rule for zone in self._ruleset.zones if zone.lockout_group == name for rule in self._alarm(zone.key)
            ]
            for order in (rules, rules[1::-1]):
                yield self._lockout_round(order)

    def _alarm(self, zone: str) -> list[Rule]:
        """The first rule that puts the zone into alarm, of one device if there is such."""
        found = [
            one
            for one in self._ruleset.rules
            if is_alarm_rule(self._ruleset, one) and zone in zones_acted_in(self._ruleset, one)
        ]
        return sorted(found, key=lambda one: (len(self._zones_behind(one)) != 1, len(one.cause.inputs) != 1))[:1]

    def _zones_behind(self, rule: Rule) -> set[str | None]:
        return {one.zone for one in self._devices(rule)}

    def _lockout_round(self, rules: list[Rule]) -> Round:
        round_ = Round(self._panel, max(self._devices(*rules), key=lambda one: one.place, default=None))
        causes = []
        for rule in rules:
            if rule.cause in causes:
                continue  # what was operated put this zone into alarm too
            causes.append(rule.cause)
            if (events := round_.events_for(rule)) is not None:
                round_.operate(events, Phase.PRIORITY)
                round_.claim(locked_out=round_.locked_out())
        round_.restore()
        return round_


def _by_priority(key: PairKey, strong: Rule, weak: Rule) -> tuple:
    return key[1], key[2] if weak.is_latching else 0


def _by_rule(key: PairKey, strong: Rule, weak: Rule) -> tuple:
    return key[0], strong.key, weak.key if weak.is_latching else ""


def _by_class(alike: list[Met]) -> list[list[Met]]:
    """By the weaker priority, the weakest first."""
    found: dict[int, list[Met]] = {}
    for one in sorted(alike, key=lambda one: -one[0][2]):
        found.setdefault(one[0][2], []).append(one)
    return list(found.values())
