"""Whether the inlets of a smoke zone open with its outlets: by what moves them, in time, by every cause of smoke."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from zones.engineering.findings import Figure, Finding, Severity, fail, listed, meets, missing, question
from zones.engineering.operation import Operation
from zones.engineering.replacement_air import ratio_of
from zones.engineering.smoke_zones import SmokeZone
from zones.engineering.solved_circuits import DISCHARGED, MAINS, SOURCES
from zones.engineering.sources import DESIGN_ENTRY, RECORD
from zones.engineering.trade_practice import TRADE_PRACTICE, TradePractice
from zones.engineering.vents import Vent

_WHEN = {MAINS: "on mains", DISCHARGED: "at the end of discharge"}
_TIME_FORMULA = "last inlet open ≤ last outlet open + share of that time (common practice)"


@dataclass(frozen=True, slots=True)
class OpeningCause:
    """A cause of smoke in the cause and effect of a panel, with the actuators that it opens: tag → delay, s."""

    name: str
    opens: Mapping[str, float]


def check_inlets_open(
    operations: Sequence[Operation],
    zones: Sequence[SmokeZone],
    vents: Sequence[Vent],
    causes: Sequence[OpeningCause] | None,
    practice: TradePractice = TRADE_PRACTICE,
) -> list[Finding]:
    """What is known of the inlets with an actuator in zones where replacement air is asked for.

    Args:     operations: the panel of these zones solved, and after it the others that drive vents of them;
              causes: ``None``: no cause and effect is recorded.
    Source:   the fire strategy asks for air while smoke leaves; the time allowed between is common practice [P].
    """
    zones = [zone for zone in zones if ratio_of(zone) is not None]
    if not zones:
        return []  # nobody asks for air
    panel, (movers, ready, elsewhere), findings = operations[0].name, _driven(operations, vents), []
    for zone in zones:
        of_zone = [vent for vent in vents if vent.zone == zone.name]
        inlets = [vent.name for vent in of_zone if vent.is_inlet and vent.has_actuator]
        outlets = [vent.name for vent in of_zone if not vent.is_inlet]
        if not inlets:
            continue
        if unmoved := [name for name in inlets if name not in movers]:
            findings.append(_unmoved(panel, zone, unmoved))
        elif any(name in movers for name in outlets):
            findings += _times(zone, inlets, outlets, ready, practice)
            of_causes = _causes(panel, zone, inlets, outlets, movers, causes)
            findings += of_causes
            if not any(one.severity in (Severity.FAIL, Severity.MISSING) for one in of_causes):
                findings += _signals(panel, zone, {name: elsewhere[name] for name in inlets if name in elsewhere})
    return findings


def _driven(operations, vents):
    """vent → its actuators, (vent, source) → when each is open, s: at the least and at the most; vent → other panel."""
    own, by_key = operations[0], {vent.key: vent.name for vent in vents if vent.key is not None}
    movers, ready, elsewhere = {}, {}, {}
    for operation in operations:
        for solved in operation.with_actuators:
            waits = {source: operation.waits_s(solved, source) for source in SOURCES}
            for one in solved.travels:
                # Of another panel only the key says which vent it is: that has names of its own.
                vent = one.actuator.vent if operation is own else by_key.get(one.actuator.vent_key)
                if operation is not own and vent is not None:
                    elsewhere[vent] = operation.name
                movers.setdefault(vent, set()).add(one.actuator.name)
                times = tuple(None if None in (s, one.stroke_s) else s + one.stroke_s for s in waits[one.source])
                ready.setdefault((vent, one.source), []).append(times)
    return movers, ready, elsewhere


def _signals(panel, zone, elsewhere):
    """What no record proves: that the signal of one panel reaches the other."""
    if not elsewhere:
        return []
    words = (
        f"Zone {zone.name}: inlet {listed(elsewhere)} is opened by {listed(dict.fromkeys(elsewhere.values()))}, its "
        f"outlets by {panel}: its time is that panel's own, from the moment when the signal reaches it. Prove by test "
        f"that every cause of smoke reaches both panels at once."
    )
    return [question("air.signal", zone.name, words, DESIGN_ENTRY)]


def _unmoved(panel, zone, names):
    unchecked = f"whether they open with the outlets of zone {zone.name}"
    what = f"actuator on an output of {panel}"
    return missing("air.opens", zone.name, what, [f"inlet {listed(names)}"], RECORD, not_checked=unchecked)


def _times(zone, inlets, outlets, ready, practice):
    """The last inlet at the latest against the last outlet at the earliest, on mains and on the battery.

    They differ where the order of the outputs is not recorded. Nothing while a time is not known.
    """
    late, known = [], []
    for source in SOURCES:
        inlets_s, outlets_s = (
            [s[at] for name in names for s in ready.get((name, source), ())]
            for at, names in ((1, inlets), (0, outlets))
        )
        if not inlets_s or not outlets_s or None in inlets_s or None in outlets_s:
            return []  # stroke, speed or voltage: said with the opening time
        inlet_s, outlet_s = max(inlets_s), max(outlets_s)
        known.append((source, inlet_s, outlet_s))
        if inlet_s > outlet_s * (1 + practice.in_step_tolerance) + 1e-9:
            late.append((source, inlet_s, outlet_s))
    inputs = tuple(
        Figure(f"last {what} open, {_WHEN[source]}", round(seconds, 1), "s")
        for source, inlet_s, outlet_s in known
        for what, seconds in (("inlet", inlet_s), ("outlet", outlet_s))
    )
    if late:
        source, inlet_s, outlet_s = max(late, key=lambda one: one[1] - one[2])
        words = (
            f"Zone {zone.name}: {_WHEN[source]} its outlets may be open {outlet_s:.0f} s after the signal, its inlets "
            f"only after {inlet_s:.0f} s: smoke leaves before air comes in. Record the order of the outputs with the "
            f"inlets first, or let the fire engineer decide."
        )
        return [question("air.time", zone.name, words, DESIGN_ENTRY, inputs, _TIME_FORMULA)]
    _, inlet_s, outlet_s = max(known, key=lambda one: one[1] - one[2])
    words = f"Zone {zone.name}: inlets are open after {inlet_s:.0f} s, outlets after {outlet_s:.0f} s"
    return [meets("air.time", zone.name, words, DESIGN_ENTRY, inputs, _TIME_FORMULA)]


def _causes(panel, zone, inlets, outlets, movers, causes):
    """Each cause that opens an outlet of the zone opens all its inlets too, and no later."""
    what = "cause and effect"
    if causes is None:
        unchecked = f"whether every cause that opens the outlets of zone {zone.name} opens its inlets"
        return [missing("air.cause", zone.name, what, [panel], RECORD, not_checked=unchecked)]
    of_inlets = {tag: name for name in inlets for tag in movers[name]}
    of_outlets = {tag for name in outlets for tag in movers.get(name, ())}
    shut, later, checked = {}, {}, 0
    for cause in causes:
        waits = [cause.opens[tag] for tag in of_outlets if tag in cause.opens]
        if not waits:
            continue
        checked += 1
        shut.update({of_inlets[tag]: cause.name for tag in of_inlets if tag not in cause.opens})
        later.update({of_inlets[tag]: cause.name for tag in of_inlets if cause.opens.get(tag, 0) > max(waits)})
    if shut:
        words = (
            f"Zone {zone.name}: {listed(dict.fromkeys(shut.values()))} opens its outlets, but not its inlet "
            f"{listed(sorted(shut))}. Give the cause that effect too."
        )
        return [fail("air.cause", zone.name, words, RECORD)]
    if later:
        words = (
            f"Zone {zone.name}: {listed(dict.fromkeys(later.values()))} opens its inlet {listed(sorted(later))} later "
            f"than its outlets. Start them together, or let the fire engineer decide."
        )
        return [question("air.cause", zone.name, words, RECORD)]
    if not checked:
        words = (
            f"Zone {zone.name}: nothing in the {what} of {panel} opens its outlets on smoke: whether its inlets open "
            f"with them not checked. Record the cause that opens them to get a verdict."
        )
        return [Finding("air.cause", Severity.MISSING, zone.name, words, RECORD, (Figure(what, None),))]
    words = f"Zone {zone.name}: what opens its outlets on smoke opens its inlets too"
    return [meets("air.cause", zone.name, words, RECORD, (Figure("causes", checked),), limit="the record")]
