"""Rules of cause and effect, devices and figures in the words of a settings sheet."""

from sites_registry.words import plain_number
from zones.models import CauseAndEffectRule

NOT_KNOWN = "not known"
Action = CauseAndEffectRule.Action


def number_of(value):
    """A figure in plain digits, a text as it is."""
    return value if isinstance(value, str) else str(plain_number(value))


def tags_of(positions):
    return ", ".join(position.tag for position in positions)


def rule_words(rule):
    """What a rule does: "open Zone 1 Main stair after 5 s, latches"."""
    target = rule.vent_group or rule.smoke_zone
    place = f"group {target}" if rule.vent_group_id else str(target) if target else rule.output
    words = f"{rule.get_effect_display()} {place}".strip()
    words += f" after {rule.delay_s} s" if rule.delay_s else ""
    words += ", latches" if rule.is_latching else ""
    words += f", priority {rule.priority}" if rule.priority else ""
    return words


def function_words(own, together):
    """What a device does: by itself, and (`together`) with the others of a coincidence."""
    parts = [f"{rule.action}: {rule_words(rule)}" if rule.action != Action.ON else rule_words(rule) for rule in own]
    parts += [f"with others ({rule.coincidence}): {rule_words(rule)}" for rule in together]
    return "; ".join(parts)
