"""What a tried figure changes of a panel's design check: findings before and after, side by side. Nothing is stored."""

from dataclasses import dataclass

from zones.design_check.checked import CheckedPanel, counts_of
from zones.design_check.findings import SHOWN, ShownFinding
from zones.engineering.findings import Severity
from zones.engineering.panel_check import check_panel
from zones.engineering.what_if import FindingChange, difference, paired

_RANK = {severity: rank for rank, severity in enumerate(Severity)}


@dataclass(frozen=True, slots=True)
class VariantRow:
    """One thing said before and after, as a page shows it; None where it is not said."""

    before: ShownFinding | None
    after: ShownFinding | None

    @property
    def word(self):
        if self.before is None:
            return "new"
        if self.after is None:
            return "gone"
        return "changed" if self.before.finding.severity == self.after.finding.severity else "changed verdict"

    @property
    def subject(self):
        return (self.after or self.before).finding.subject


@dataclass(frozen=True, slots=True)
class Comparison:
    """The whole answer: rows, the worst first, and how many findings of each kind there are before and after."""

    rows: tuple[VariantRow, ...]
    counts: tuple[tuple[str, str, int, int], ...]  # key and word of the state, before, after


def compare(checked: CheckedPanel, variant) -> Comparison:
    """What the check says of another design of this panel; no query."""
    after = (*checked.of_record, *check_panel(variant, checked.practice))
    pairs = paired(difference(checked.findings, after))
    pairs.sort(key=_urgency)
    before_counts, after_counts = counts_of(checked.findings), counts_of(after)
    return Comparison(
        tuple(
            VariantRow(pair.before and ShownFinding(pair.before), pair.after and ShownFinding(pair.after))
            for pair in pairs
        ),
        tuple((*SHOWN[one], before_counts[one], after_counts[one]) for one in Severity),
    )


def _urgency(pair: FindingChange):
    """What is said afterwards decides; of what is gone, what was said before, after all the rest."""
    return (pair.after is None, _RANK[(pair.after or pair.before).severity])
