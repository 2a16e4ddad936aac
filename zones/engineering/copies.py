"""Records that share all figures but a few: made from one that was checked, instead of being checked one by one."""

from functools import lru_cache


def renamed(record, **changed):
    """A copy of a frozen dataclass (without slots), with other values in some fields. Nothing is checked again.

    A portfolio has thousands of actuators and vents of a few kinds: to check the figures of each took longer than to
    judge them. What is changed must be good by itself: a name, a place, a figure that was checked. What is derived
    (derived.py) is copied with the rest: it must not depend on what is changed.
    """
    made = object.__new__(type(record))
    # All at once: a frozen record is otherwise made field by field.
    object.__setattr__(made, "__dict__", record.__dict__ | changed)
    return made


class Kind:
    """What records that are alike have in common: one object for all of them, so that it is sooner compared."""

    __slots__ = ("figures",)

    def __init__(self, figures):
        self.figures = figures


@lru_cache(maxsize=4096)
def kind_of(*figures) -> Kind:
    """The kind of all that has these figures."""
    return Kind(figures)
