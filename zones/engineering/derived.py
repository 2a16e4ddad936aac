"""What follows from a record and is worked out at most once."""


class derived:
    """As ``functools.cached_property``, without the lock that it has before Python 3.12.

    The lock takes longer than most of what is derived here. Two threads that ask at once work out the same value twice.
    """

    def __init__(self, make):
        self._make, self.__doc__ = make, make.__doc__

    def __set_name__(self, owner, name):
        self._name = name

    def __get__(self, record, owner=None):
        if record is None:
            return self
        value = record.__dict__[self._name] = self._make(record)
        return value
