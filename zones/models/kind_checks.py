"""System check: what a row of the table of kinds names must be there in the models, and its patterns must read."""

from django.core import checks

from zones.engineering.device_kinds import KINDS
from zones.engineering.kind_facts import TABLE
from zones.engineering.wiring.patterns import PatternError, read_pattern
from zones.models.attachments import Attachment
from zones.models.ports import InputPort
from zones.models.product_models import ProductModel


@checks.register(checks.Tags.models)
def check_table_of_kinds(app_configs, **kwargs):
    """An error for each word that names nothing."""
    known = {
        "needed_figures": {field.name for field in ProductModel._meta.get_fields()},
        "papers": set(Attachment.Kind.values),
        "input_functions": set(InputPort.Function.values),
    }
    return [_error(*fault) for facts in KINDS.values() for fault in _faults(facts, known)]


def _faults(facts, known):
    for name, allowed in known.items():
        for word in getattr(facts, name):
            if word not in allowed:
                yield facts, f"{name} names '{word}', which is none of: {', '.join(sorted(allowed))}."
    for variant, text in facts.patterns.items():
        try:
            read_pattern(text)
        except PatternError as error:
            yield facts, f"its wiring pattern '{variant}' does not read: {error}"


def _error(facts, what):
    return checks.Error(f"Kind of device '{facts.value}': {what}", hint=f"Correct its row in {TABLE}.", id="zones.E001")
