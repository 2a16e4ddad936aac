"""The steps of a plan as a person answers them: what is seen at one place in one go is one point.

A step with a reading ends a point, so that every reading has its own field.
"""

import re
from dataclasses import dataclass, replace
from enum import IntEnum

from zones.engineering.cause_and_effect.commissioning import CommissioningStep, LineFault, Phase
from zones.engineering.cause_and_effect.commissioning_words import all_of
from zones.engineering.cause_and_effect.rules import ALARMS, WEATHER, InputKind
from zones.engineering.findings import listed
from zones.engineering.hazards import Hazard, precautions

MEASURE = "Measure: "
# A short is no cause of the rules: what the panel makes of it depends on its lines, so either answer is right.
SHORTED = {
    "do": "Short the two cores of the line there, then take the short off. Where it raised an alarm: reset, close.",
    "must": ["Fault, or alarm where so set; never silence."],
    "must_not": [],
}


class Leg(IntEnum):
    """The three parts of a walk: it begins and ends at the panel."""

    START = 0
    WALK = 1
    END = 2


@dataclass(frozen=True)
class Planned:
    """One point: its steps, what is restored after them before the next, and the position where one stands.

    `about` says what is observed, for whoever asks the same elsewhere; `reading`: quantity and unit, if one is taken;
    `sees`: what is to be seen beyond the logic; `confirms`: keys of fittings whose place a pass confirms.
    """

    number: int
    steps: tuple[CommissioningStep, ...]
    position_id: int
    tag: str
    place: str
    leg: Leg
    about: str
    title: str
    reading: tuple[str, str] = ("", "")
    after: tuple[CommissioningStep, ...] = ()
    sees: tuple[str, ...] = ()
    confirms: tuple[int, ...] = ()
    storey: str = ""

    @property
    def step(self):
        """The step that the point ends with: round, phase, and the events up to it."""
        return self.steps[-1]

    @property
    def hazards(self):
        """What can hurt at the steps or while restoring after them, in the order of the classes."""
        found = {one for step in (*self.steps, *self.after) for one in step.hazards}
        return tuple(one for one in Hazard if one in found)

    @property
    def caution(self):
        """What to do about its hazards, in sentences."""
        return precautions(self.hazards)

    @property
    def moves(self):
        """What to do one after the other, what must follow and what must not; restoring last, in one line."""
        found = [
            {"do": step.do, "must": plain(step.must), "must_not": list(step.must_not) if step.events else []}
            for step in self.steps
        ]
        found[-1]["must"] = [*found[-1]["must"], *self.sees]
        if self.about == "element-removed":
            found.append(SHORTED)
        if self.after:
            seen = dict.fromkeys(sentence for step in self.after for sentence in plain(step.must))
            found.append(
                {"do": f"Then: {' '.join(step.do for step in self.after)}", "must": list(seen), "must_not": []}
            )
        return found

    @property
    def tries(self):
        """What the steps and their restoring cover, as plain lists for a frozen copy."""
        steps = (*self.steps, *self.after)
        covered = {
            "inputs": [list(map(str, one)) for step in steps for one in step.inputs],
            "rules": [key for step in steps for key in step.rules],
            "pairs": [
                [pair.zone, pair.stronger, pair.weaker, pair.weaker_last] for step in steps for pair in step.pairs
            ],
            "lines": [list(map(str, one)) for step in steps for one in step.lines],
        }
        return {**covered, "confirms": list(self.confirms)} if self.confirms else covered


def plain(sentences):
    """Sentences of the simulation without the rule behind them, as one says them on site."""
    found = []
    for sentence in sentences:
        said = re.sub(r": rule \d+ \(.+\)\.$", ".", sentence)
        found.append(re.sub(r"^(Vents .+?) (open|close|stop)s( |\.)", r"\1 \2\3", said))
    return _together(found)


_DONE_BY_ONE = re.compile(
    r"^(?P<part>Alarm lamp of )?(?P<name>(?:Zone|Group) .+?) "
    r"(?P<does>goes into alarm|is no longer in alarm|opens|closes|comes on|goes out|stays shut: .+)\.$"
)
_DONE_BY_SEVERAL = (
    ("goes ", "go "),
    ("is ", "are "),
    ("opens", "open"),
    ("closes", "close"),
    ("comes ", "come "),
    ("stays ", "stay "),
)


def _together(sentences):
    """One sentence for zones, groups or lamps that do the same, where the first of them stands."""
    alike, found = {}, []
    for sentence in sentences:
        one = _DONE_BY_ONE.match(sentence)
        key = (one["part"], one["name"].split()[0], one["does"]) if one else sentence
        if key not in alike:
            alike[key] = []
            found.append(key)
        alike[key].append(one["name"] if one else sentence)
    return [key if isinstance(key, str) else _said_of(*key, alike[key]) for key in found]


def _said_of(part, kind, does, names):
    if len(names) == 1:
        return f"{part or ''}{names[0]} {does}."
    for one, several in _DONE_BY_SEVERAL:
        if does.startswith(one):
            does = several + does.removeprefix(one)
            break
    bare = all_of(name.removeprefix(f"{kind} ") for name in names)
    return f"{'Alarm lamps of ' if part else ''}{kind}s {bare} {does}."


def points_of(steps):
    """(steps of a point, its restoring, its reading) one after the other; each reading is a point of its own."""
    found = []
    for step in steps:
        if step.phase is Phase.RESTORE and found and found[-1][0][-1].round == step.round:
            found[-1][1].append(step)
        elif found and _goes_on(found[-1], step):
            found[-1][0].append(step)
        else:
            found.append(([step], []))
    for together, after in found:
        yield from _by_reading(tuple(together), tuple(after))


def _goes_on(point, step):
    before, after = point[0][-1], point[1]
    is_alone = step.phase is Phase.POWER_UP and not step.part  # the maker's steps: nobody has put them together
    return before.round == step.round and before.part == step.part and not (before.readings or after or is_alone)


def _by_reading(steps, after):
    """A point for each reading of the last step; what the step tries of the logic goes with its last reading."""
    *first, last = steps
    *readings, final = last.readings or ("",)
    for reading in readings:
        before = replace(last, must=(), must_not=(), events=(), inputs=(), rules=()) if last.events else last
        yield (*first, before), (), _quantity(reading)
        first, last = [], replace(last, do=f"{MEASURE}{_quantity(final)[0]}.")
    yield (*first, last), after, _quantity(final)


def _quantity(reading):
    quantity, _, unit = reading.rpartition(", ")
    return quantity, unit if quantity else ""


def about(steps, kinds):
    """What a point observes: the code of its step of powering up or leaving, else by phase and by who meets whom."""
    last = steps[-1]
    if last.code:
        return last.code
    met = {kinds[key] for step in steps for key, _ in step.inputs}
    if last.lines:
        return last.lines[0][1].value.replace("_", "-")
    if last.phase is Phase.SUPPLY:
        return "mains" if InputKind.MAINS_FAULT in met else "battery"
    if last.phase is Phase.INPUT:
        return "input"
    if last.phase is Phase.PRIORITY and kinds.get(last.at) in WEATHER and InputKind.FIRE_SERVICE not in met:
        return "weather-in-smoke" if met & ALARMS else "input"
    return last.phase.value


def title_of(steps, labels):
    """A short name: the part, what is done, or who meets whom."""
    last = steps[-1]
    if last.part:
        return f"{last.part}: {last.do.removeprefix(MEASURE)[:-1]}" if last.do.startswith(MEASURE) else last.part
    actions = dict.fromkeys(action for step in steps for _, action in step.inputs)
    met = list(dict.fromkeys(labels[key] for step in steps for key, _ in step.inputs))
    if last.phase is Phase.INPUT and len(met) == 1:
        return f"{met[0]} on its own" if len(actions) == 1 else f"{met[0]}: {listed(list(actions))}"
    if last.phase is Phase.LINE and not last.lines:
        return f"{listed(met)} opened"
    if last.lines and met:
        at = f" at {labels[last.at]}" if last.at in labels else ""
        is_off = last.lines[0][1] is LineFault.DEVICE_REMOVED
        return f"Device off{at}, {met[0]}" if is_off else f"Open and short{at}, {met[0]}"
    if len(steps) == 1:
        return last.do
    met = listed(met)
    return f"On battery: {met}" if last.phase is Phase.SUPPLY else f"Which goes first: {met}"
