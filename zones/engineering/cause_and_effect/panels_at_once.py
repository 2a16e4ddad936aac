"""The panel as designed and many set up wrongly, all run at the same time through the same operations.

Every truth is a whole number: bit 0 says it of the designed panel, bit k of the k-th wrong one, so one pass over the
rules settles all of them. What a person sees is compared after every operation: vents shut, part-way or open (not
what for), lamps and outputs lit or not, with a clock. How a moment is settled stands in `machine`; that this one
settles as that one does is for the tests.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from operator import itemgetter

from zones.engineering.cause_and_effect.events import Event
from zones.engineering.cause_and_effect.machine import AFTER_RESET_PRIORITY
from zones.engineering.cause_and_effect.panels_compiled import Entry, PanelsCompiled, Signal
from zones.engineering.cause_and_effect.rules import (
    MOMENTARY,
    Action,
    Effect,
    InputKind,
    cause_actions_of,
)
from zones.engineering.cause_and_effect.wrong_panels import WrongPanel

_MOST_PASSES = 12
_order_of = itemgetter(0)


@dataclass(slots=True)
class Standing:
    """Where all panels stand. `shut`, `part`, `smoke`: a mask for each group; what is in none of them is open for
    ventilation. `told`: panels that were seen to be wrong."""

    signals: dict[Signal, int]
    held: dict[int, int] = field(default_factory=dict)
    running: dict[int, dict[int, int]] = field(default_factory=dict)
    shut: list[int] = field(default_factory=list)
    part: list[int] = field(default_factory=list)
    smoke: list[int] = field(default_factory=list)
    owners: list[int] = field(default_factory=list)
    at_s: int = 0
    told: int = 0


class PanelsAtOnce(PanelsCompiled):
    """All of them, to run. Make it of sound rules and wrong panels."""

    # --- running ---

    def rest(self) -> Standing:
        """Everything shut and let go. A panel that shows itself wrong at rest is told."""
        count = len(self.ruleset.groups)
        signals = {(key, Action.ON): mask for key, mask in self._inverted.items() if mask}
        standing = Standing(
            signals, {}, {}, [self.all] * count, [0] * count, [0] * count, [0] * len(self.ruleset.zones)
        )
        self._settle(standing, signals)
        return standing

    def happen(self, standing: Standing, event: Event):
        """Something happens to an input; the standing is changed."""
        key, action, signals = event.subject, event.action, standing.signals
        one = self._inputs[key]
        if one.kind is InputKind.RESET:
            self._settle(standing, {**signals, (key, action): self.all}, key)
            self._settle(standing, signals)
        elif one.kind in MOMENTARY:
            self._settle(standing, {**signals, (key, action): self.all})
            self._settle(standing, signals)
        else:
            for other in cause_actions_of(one.kind):
                signals.pop((key, other), None)
            inverted = self._inverted[key]
            if action is Action.ON:
                signals[key, Action.ON] = self.all & ~inverted
            elif action is Action.OFF and inverted:
                signals[key, Action.ON] = inverted
            elif action not in (Action.OFF, Action.AUTO):
                signals[key, action] = self.all
            self._settle(standing, signals)

    def wait(self, standing: Standing, seconds: int):
        """So long; what elapses meanwhile is seen when it does."""
        until = standing.at_s + seconds
        for _ in range(200):
            due = min((at for dues in standing.running.values() for at in dues), default=until + 1)
            if due > until:
                break
            standing.at_s = due
            fired: dict[int, int] = {}
            for number, dues in [*standing.running.items()]:
                if mask := dues.pop(due, 0):
                    if self.entries[number].is_momentary:
                        fired[number] = mask
                    else:
                        standing.held[number] = standing.held.get(number, 0) | mask
                if not dues:
                    del standing.running[number]
            self._settle(standing, standing.signals, fired=fired)
            if fired:
                self._settle(standing, standing.signals)
        standing.at_s = until

    def due(self, standing: Standing, rule: str = "") -> int | None:
        """Seconds until the next delay of the designed panel elapses, or that of this rule; ``None``: none runs."""
        found = [
            at
            for number, dues in standing.running.items()
            if self.entries[number].panels & 1 and (not rule or self.entries[number].rule.key == rule)
            for at, mask in dues.items()
            if mask & 1
        ]
        return min(found) - standing.at_s if found else None

    def replay(self, standing: Standing, events: Iterable[Event]):
        """A sequence in which delays elapse, as a person does it: by waiting that long."""
        for event in events:
            if event.action is not Action.ELAPSED:
                self.happen(standing, event)
            elif seconds := self.due(standing, event.subject):
                self.wait(standing, seconds)

    def told(self, standing: Standing) -> list[WrongPanel]:
        """The wrong panels that were seen to be wrong."""
        return [one for k, one in enumerate(self.wrong, 1) if standing.told >> k & 1]

    # --- one moment ---

    def _settle(self, standing: Standing, signals, reset: str = "", fired: dict[int, int] | None = None):
        for _ in range(_MOST_PASSES):
            before = (*standing.shut, *standing.part, *standing.smoke) if self._by_contact else None
            caused, alarms = self._caused(standing, signals, reset)
            in_force = self._in_force(standing, caused, fired)
            if self._lockouts:
                self._own(standing, alarms)
            self._move(standing, in_force, alarms, reset)
            self._light(standing, in_force)
            if before is None or before == (*standing.shut, *standing.part, *standing.smoke):
                return
            reset = ""

    def _caused(self, standing: Standing, signals, reset: str) -> tuple[dict[int, int], dict[int, int]]:
        caused: dict[int, int] = {}
        for signal, mask in signals.items():
            for entry in (self._of_signal if mask & 1 else self._designed_of).get(signal, ()):
                if entry.number not in caused and (found := self._is_caused(entry, signals)):
                    caused[entry.number] = found
        let_go, let_go_wide = (self.all & ~self._dead[reset], self._wide[reset]) if reset else (0, 0)
        for some in (standing.held, {number: sum(due.values()) for number, due in standing.running.items()}):
            for number, mask in some.items():
                entry = self.entries[number]
                if entry.is_latching:
                    caused[number] = caused.get(number, 0) | (
                        mask & ~(let_go if reset in entry.resets else let_go_wide)
                    )
                elif entry.is_momentary and some is not standing.held:
                    caused[number] = caused.get(number, 0) | mask
        for entry in self._by_contact:
            if found := entry.panels & ~standing.shut[self._group_number[entry.rule.cause.group]]:
                caused[entry.number] = caused.get(entry.number, 0) | found
        return caused, self._alarms(caused)

    def _is_caused(self, entry: Entry, signals) -> int:
        if len(entry.signals) == 1:
            found = 0
            for one in entry.signals[0]:
                found |= signals.get(one, 0)
            return found & entry.panels
        at_least = [entry.panels] + [0] * entry.rule.cause.needed
        for some in entry.signals:
            mask = 0
            for one in some:
                mask |= signals.get(one, 0)
            for k in range(len(at_least) - 1, 0, -1):
                at_least[k] |= at_least[k - 1] & mask
        return at_least[-1]

    def _alarms(self, caused: dict[int, int]) -> dict[int, int]:
        """Zones in alarm; what waits for them is caused too."""
        while True:
            alarms: dict[int, int] = {}
            for number, mask in caused.items():
                for zone in self.entries[number].zones:
                    alarms[zone] = alarms.get(zone, 0) | mask
            grown = False
            for entry in self._by_zone:
                more = alarms.get(self._zone_number[entry.rule.cause.zone], 0) & entry.panels
                if more & ~caused.get(entry.number, 0):
                    caused[entry.number] = caused.get(entry.number, 0) | more
                    grown = True
            if not grown:
                return alarms

    def _in_force(self, standing: Standing, caused: dict[int, int], fired) -> dict[int, int]:
        in_force, held, running = {}, {}, {}
        for number, mask in caused.items():
            entry = self.entries[number]
            if not entry.delay_s:
                in_force[number] = mask
                if entry.is_latching:
                    held[number] = mask
                continue
            if elapsed := standing.held.get(number, 0) & mask:
                held[number] = in_force[number] = elapsed
            if waiting := mask & ~elapsed:
                running[number] = self._dues(standing, entry, waiting)
        standing.held, standing.running = held, running
        for number, mask in (fired or {}).items():
            in_force[number] = in_force.get(number, 0) | mask
        return in_force

    def _dues(self, standing: Standing, entry: Entry, waiting: int) -> dict[int, int]:
        found = {at: mask & waiting for at, mask in standing.running.get(entry.number, {}).items() if mask & waiting}
        if new := waiting & ~sum(found.values()):
            at = standing.at_s + entry.delay_s
            found[at] = found.get(at, 0) | new
        return found

    def _own(self, standing: Standing, alarms: dict[int, int]):
        for zones in self._lockouts:
            kept = {k: standing.owners[k] & alarms.get(k, 0) for k in zones}
            free = self.all & ~sum(kept.values())
            for k in zones:
                new = free & alarms.get(k, 0) & self._in_lockout[k]
                standing.owners[k] = kept[k] | new
                free &= ~new

    def _locked_out(self, standing: Standing, zone: int) -> int:
        for zones in self._lockouts:
            if zone in zones:
                return sum(standing.owners[k] for k in zones if k != zone) & self._in_lockout[zone]
        return 0

    def _move(self, standing: Standing, in_force: dict[int, int], alarms: dict[int, int], reset: str):
        pulling: dict[int, list[tuple]] = {}
        blocks: dict[int, int] = {}
        for number, mask in in_force.items():
            entry = self.entries[number]
            if entry.pulls:
                for group in entry.groups:
                    pulling.setdefault(group, []).append((entry.order, entry.effect, mask, entry.is_ventilation))
            elif entry.blocks:
                for group in entry.groups:
                    blocks[group] = blocks.get(group, 0) | mask
        locked = {
            group: mask
            for group, zone in enumerate(self._zone_of if any(standing.owners) else ())
            if (mask := self._locked_out(standing, zone))
        }
        closing = self._closed_by(standing, alarms, reset) if reset and self._closes else {}
        for group in {*pulling, *locked, *closing}:
            ranked = pulling.get(group, [])
            ranked += [((1, len(Effect), 0), Effect.CLOSE, locked[group], False)] if group in locked else []
            after = (AFTER_RESET_PRIORITY, len(Effect), 0)
            ranked += [(after, Effect.CLOSE, closing[group], False)] if group in closing else []
            if len(ranked) > 1:
                ranked.sort(key=_order_of)
            self._move_group(standing, group, ranked, blocks.get(group, 0))

    def _closed_by(self, standing: Standing, alarms: dict[int, int], reset: str) -> dict[int, int]:
        """Groups open for smoke in the zones of a reset, out of alarm now, in the panels that then shut them."""
        own = self._inputs[reset].zone
        found = {}
        for group, zone in enumerate(self._zone_of):
            is_own = own is None or self.ruleset.zones[zone].key == own
            works = self._closes & (~self._dead[reset] if is_own else self._wide[reset])
            if mask := standing.smoke[group] & works & ~alarms.get(zone, 0):
                found[group] = mask
        return found

    def _move_group(self, standing: Standing, group: int, ranked, blocks: int):
        left, at = self.all, (standing.shut[group], standing.part[group], standing.smoke[group])
        shut, part, smoke = at
        for _, effect, mask, is_ventilation in ranked:
            mask &= left & ~blocks if effect is Effect.OPEN and is_ventilation else left
            left &= ~mask
            if effect is Effect.OPEN:
                shut, part, smoke = shut & ~mask, part & ~mask, smoke & ~mask if is_ventilation else smoke | mask
            elif effect is Effect.CLOSE or effect is Effect.CLOSE_VENTILATION:
                mask = mask if effect is Effect.CLOSE else mask & ~smoke
                shut, part, smoke = shut | mask, part & ~mask, smoke & ~mask
            elif effect is Effect.STOP:
                mask &= ~(shut | part)
                part, smoke = part | mask, smoke & ~mask
        if (shut, part, smoke) != at:
            standing.shut[group], standing.part[group], standing.smoke[group] = shut, part, smoke
        for seen in (shut, part):
            standing.told |= seen ^ (self.all if seen & 1 else 0)

    def _light(self, standing: Standing, in_force: dict[int, int]):
        lit: dict[object, int] = {}
        for number, mask in in_force.items():
            entry = self.entries[number]
            if entry.lights:
                lit[entry.rule.target] = lit.get(entry.rule.target, 0) | mask
        for seen in lit.values():
            standing.told |= seen ^ (self.all if seen & 1 else 0)
