"""How a service says no: in sentences for the person who asked."""


class Refused(Exception):
    """What was asked is against a rule, and nothing was changed; `reasons` are sentences with value and remedy.

    `field` names the input that is wrong, where one is.
    """

    def __init__(self, *reasons, field=None):
        self.reasons = list(reasons)
        self.field = field
        super().__init__(" ".join(self.reasons))
