"""Which findings a page shows: by what there is to act on, by one state, or all."""

from zones.design_check.checked import counts_of
from zones.design_check.findings import SHOWN, TO_ACT_ON
from zones.engineering.findings import Severity

# Words of the address: what a filter shows.
FILTERS = {"act": TO_ACT_ON, "all": tuple(Severity), **{str(one): (one,) for one in Severity}}


def filter_of(text):
    """The filter that an address names; anything else is what there is to act on."""
    return text if text in FILTERS else "act"


def count_boxes(findings, chosen):
    """(severity, key, word, number, whether this filter is chosen) for the figures on top of a page."""
    counts = counts_of(findings).items()
    return [(str(severity), *SHOWN[severity], number, chosen == severity) for severity, number in counts]
