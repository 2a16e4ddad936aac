"""What the checks say of the wiring of a panel's records; the only bridge between the two. Never stored."""

import re

from sites_registry.states import key_and_word
from zones.engineering.findings import Finding, Severity
from zones.engineering.wiring.checks import check_wiring
from zones.wiring.records import wired_panel

_TERMINAL = re.compile(r" -(?=[^\s:]+:)")
# Glyph and word of a finding, as the design check has them; what is not met in wiring is a fault.
STATE_OF = {
    Severity.FAIL: key_and_word("fault"),
    Severity.MISSING: key_and_word("not_known"),
    Severity.QUESTION: key_and_word("question"),
}


def findings_of_wiring(panel) -> list[Finding]:
    """The findings of a panel's wiring, worst first; as many queries as `wired_panel`."""
    return check_wiring(wired_panel(panel))


def shown(finding: Finding):
    """A finding as a page shows it: state, word, sentence, where it comes from."""
    state, word = STATE_OF[finding.severity]
    return {
        "state": state,
        "word": word,
        "sentence": _unbroken(finding.sentence),
        "follow_ons": [_unbroken(one.sentence) for one in finding.follow_ons],
        "source": str(finding.source),
        "code": finding.code,
        "subject": finding.subject,
    }


def _unbroken(sentence):
    """ "P1 -X3:5" stays on one line: no break at the blank nor behind the hyphen."""
    return _TERMINAL.sub("\N{NO-BREAK SPACE}-\N{WORD JOINER}", sentence)


def in_one(finding: Finding) -> str:
    """The sentence of a finding with those of what follows from it: who accepts it has read all of them."""
    if not finding.follow_ons:
        return finding.sentence
    return f"{finding.sentence} From this follows: {' '.join(one.sentence for one in finding.follow_ons)}"
