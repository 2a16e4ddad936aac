"""Cause and effect: give a panel its usual rules, set one cell of its matrix."""

from django.core.exceptions import ValidationError
from django.db import transaction
from simple_history.utils import bulk_create_with_history

from zones.cause_and_effect.records import as_record, panel_logic
from zones.engineering.cause_and_effect import Cause, default_rules
from zones.models import CauseAndEffectRule, ControlPanel


def missing_usual_rules(read):
    """Unsaved records of the usual rules that a panel lacks: no rule of the same cause, target and effect is there."""
    there = {(_cause_key(rule.cause), rule.target, rule.effect) for rule in read.ruleset.rules}
    usual = default_rules(read.ruleset.zones, read.ruleset.groups, read.ruleset.inputs)
    return [as_record(rule, read) for rule in usual if (_cause_key(rule.cause), rule.target, rule.effect) not in there]


def _cause_key(cause: Cause):
    return cause.kind, frozenset(cause.inputs), cause.action, cause.needed


@transaction.atomic
def add_usual_rules(*, panel):
    """Add the usual rules that the panel lacks; returns them. Asked twice, it adds nothing the second time."""
    panel = ControlPanel.objects.select_for_update(of=("self",)).get(pk=panel.pk)
    records = missing_usual_rules(panel_logic(panel))
    related = [field.name for field in CauseAndEffectRule._meta.fields if field.is_relation]
    for record in records:
        # The related records were read just now, and the database holds the keys.
        record.full_clean(exclude=related)
    return bulk_create_with_history(records, CauseAndEffectRule)


@transaction.atomic
def set_cell(*, panel, cause, target, effect, signals, **how):
    """Set what a cause does to a target: at most one rule that moves or blocks, and one that signals.

    Args:     cause, target: dicts of the fields of a rule that name them (cause, position, action …; smoke_zone …);
              effect: a kind of effect other than a signal, "" for none; signals: whether it also signals;
              how: is_latching, delay_s, priority, is_cross_zone of the rules of this cell.
    Returns:  the rules of the cell as they are now.
    Raises:   ValidationError: the cell holds several rules of one sort; they are changed one by one.
    """
    panel = ControlPanel.objects.select_for_update(of=("self",)).get(pk=panel.pk)
    standing = list(CauseAndEffectRule.objects.select_for_update(of=("self",)).filter(panel=panel, **cause, **target))
    signal = CauseAndEffectRule.Effect.SIGNAL
    wanted = {False: effect, True: signal if signals else ""}
    rules = []
    for is_signal, kind in wanted.items():
        there = [rule for rule in standing if (rule.effect == signal) == is_signal]
        if len(there) > 1:
            raise ValidationError(f"This cell holds {len(there)} rules. Change them one by one in the list of rules.")
        if rule := _set_rule(there, panel, cause, target, kind, how):
            rules.append(rule)
    return rules


def _set_rule(there, panel, cause, target, effect, how):
    """The one rule of a cell with this effect, changed in place, made, or taken out for an empty effect."""
    if not effect:
        for rule in there:
            rule.delete()
        return None
    rule = there[0] if there else CauseAndEffectRule(panel=panel, **cause, **target)
    rule.effect = effect
    for name, value in how.items():
        setattr(rule, name, value)
    rule.full_clean()
    rule.save()
    return rule
