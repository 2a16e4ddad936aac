"""Cause and effect of the demo: every panel its usual rules, one a coincidence with a delay, one a planted fault."""

from inspections.demo.systems import save
from zones.cause_and_effect.edits import add_usual_rules
from zones.models import CauseAndEffectRule, Coincidence, ControlPanel, DeviceKind

# Rain closes at the highest priority, so it beats smoke: what the proof is there to find.
PLANTED_FAULT_IN = "Station Arcade"
COINCIDENCE_IN = "Ropewalk Hall"


def give_rules(building):
    """Give every panel of a building its rules."""
    panels = ControlPanel.objects.filter(building=building).order_by("position__tag_key")
    for panel in panels:
        add_usual_rules(panel=panel)
    if building.name == PLANTED_FAULT_IN:
        let_rain_beat_smoke(panels[0])
    if building.name == COINCIDENCE_IN:
        wait_for_two_detectors(panels[0])


def let_rain_beat_smoke(panel):
    rules = panel.rules.filter(position__kind=DeviceKind.RAIN_SENSOR)
    for rule in rules:
        rule.effect, rule.priority = CauseAndEffectRule.Effect.CLOSE, 1
        rule.note = "As set by the contractor before us; to be put right."
        save(rule)


def wait_for_two_detectors(panel):
    """The largest zone opens on any two of its detectors (people smoke on the stage), after 30 s to look."""
    zone = panel.smoke_zones.order_by("-number").first()
    detectors = list(zone.positions.filter(kind=DeviceKind.SMOKE_DETECTOR))
    panel.rules.filter(position__in=detectors, effect=CauseAndEffectRule.Effect.OPEN).delete()
    coincidence = save(Coincidence(panel=panel, name=f"two detectors of {zone.name}", needed=2))
    coincidence.positions.set(detectors)
    for effect in (CauseAndEffectRule.Effect.OPEN, CauseAndEffectRule.Effect.SIGNAL):
        save(
            CauseAndEffectRule(
                panel=panel,
                cause=CauseAndEffectRule.Cause.COINCIDENCE,
                coincidence=coincidence,
                smoke_zone=zone,
                effect=effect,
                is_latching=True,
                delay_s=30 if effect == CauseAndEffectRule.Effect.OPEN else 0,
            )
        )
