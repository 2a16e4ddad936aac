"""A stored figure in engineering's unit, or why nothing can be computed with it (see parts.py)."""

from functools import lru_cache

from zones import engineering
from zones.editing.figures import COMPUTED_AS, refusal_of
from zones.engineering.findings import Finding
from zones.engineering.quantities import QuantityError, check_quantity, in_words
from zones.engineering.sources import RECORD


def not_used(subject, sentence):
    """The finding about a stored figure that cannot be: no verdict rests on it."""
    words = f"{subject}: {sentence.rstrip('.')}. It is not used: correct it to get a verdict."
    return Finding("figure.refused", engineering.Severity.MISSING, subject, words, RECORD)


def known(refused, subject, name, value):
    """A stored figure in engineering's unit, or None when it is not known or cannot be."""
    if value is None:
        return None
    figure = _computed(name, value)
    if figure is None:
        refused.append(not_used(subject, f"{in_words(name)}: {refusal_of(name, value)}"))
    return figure


# The same few figures stand in every panel of a portfolio: each is turned and checked once.
@lru_cache(maxsize=4096)
def _computed(name, value):
    """A stored figure in engineering's unit; None when nothing can be computed with it."""
    quantity, factor = COMPUTED_AS.get(name, (None, 1))
    figure = float(value) * factor
    if quantity is None:
        return figure
    try:
        check_quantity(quantity, figure, field=name)
    except QuantityError:
        return None
    return figure


def of_model(refused, subject, model, name):
    """A figure of a device's data sheet."""
    value = getattr(model, name, None)
    return None if value is None else known(refused, subject, name, value)


def first_known(refused, subject, *candidates):
    """The first figure that is known of (field, value) pairs: the record's own before the data sheet."""
    for name, value in candidates:
        if value is not None:
            return known(refused, subject, name, value)
    return None
