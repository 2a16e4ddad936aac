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
    # "P1 -X3:5" stays on one line: no break at the blank nor behind the hyphen.
    sentence = _TERMINAL.sub("\N{NO-BREAK SPACE}-\N{WORD JOINER}", finding.sentence)
    return {
        "state": state,
        "word": word,
        "sentence": sentence,
        "source": str(finding.source),
        "code": finding.code,
        "subject": finding.subject,
    }
