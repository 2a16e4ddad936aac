"""What several pages of one answer ask alike is read once: a phone takes hundreds of pages of a visit along."""

from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps

from django.db.models import Model

_KEPT = ContextVar("what was read for the answer under way", default=None)


@contextmanager
def reading_once():
    """Within it, a function that is `read_once` is called once for the same arguments. Nothing is written meanwhile."""
    token = _KEPT.set({})
    try:
        yield
    finally:
        _KEPT.reset(token)


def is_reading_once():
    """Whether others of the same building will be asked for too, so that all of them are best read together."""
    return _KEPT.get() is not None


def read_once(read):
    """Of a function that reads records into plain data which nobody changes; outside `reading_once` it reads each time.

    Rows among its arguments are told apart by model and key, everything else by its value.
    """

    @wraps(read)
    def once(*asked, **named):
        kept = _KEPT.get()
        if kept is None:
            return read(*asked, **named)
        key = (read, *map(_key_of, asked), *((name, _key_of(value)) for name, value in named.items()))
        if key not in kept:
            kept[key] = read(*asked, **named)
        return kept[key]

    return once


def _key_of(value):
    return (type(value), value.pk) if isinstance(value, Model) else value
