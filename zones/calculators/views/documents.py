"""The documents behind the checks: each edition, what is used of it, how it is known and what came after it."""

from collections import Counter, defaultdict
from dataclasses import dataclass

from django.shortcuts import render
from django.views.decorators.http import require_safe

from sites_registry.access import STAFF_ROLES, for_roles
from zones.engineering.editions import DOCUMENTS, Document, document_of
from zones.engineering.natural_order import natural_key
from zones.engineering.sources import HOW_KNOWN, Source, every_source

FEWEST_OF_A_BODY = 3  # that a head of their own is worth
NO_DOCUMENT = {
    "calc": "arithmetic or geometry",
    "P": "common practice of the trade, or what a person entered",
}


@dataclass(frozen=True, slots=True)
class CitedDocument:
    """One edition: clauses by how they are known ("second-hand", "from memory", "read")."""

    document: Document
    used: tuple[tuple[str, str], ...]

    @property
    def is_superseded(self):
        return bool(self.document.superseded_by)


@for_roles(*STAFF_ROLES)
@require_safe
def documents(request):
    """Every document that a finding, a calculator or a protocol cites."""
    used, others = defaultdict(list), defaultdict(list)
    for source in every_source():
        if document := document_of(source):
            used[document].append((source.clause or "as a whole", _how_known(source)))
        else:
            others[NO_DOCUMENT[source.tag]].append(str(source))
    rows = [CitedDocument(one, tuple(dict.fromkeys(used[one]))) for one in sorted(DOCUMENTS.values(), key=_by_name)]
    context = {
        "rows": rows,
        "parts": _by_body(rows),
        "others": {words: sorted(set(names)) for words, names in others.items()},
    }
    return render(request, "zones/calculators/documents.html", context)


def _by_body(rows):
    """[(who issues them, rows)]: EN, IEC, …; at the end those of bodies with one or two."""
    bodies = Counter(_body(row) for row in rows)
    parts = {body: [] for body in sorted(bodies) if bodies[body] >= FEWEST_OF_A_BODY} | {"Others": []}
    for row in rows:
        parts.get(_body(row), parts["Others"]).append(row)
    return list(parts.items())


def _body(row):
    return row.document.designation.split(" ")[0]


def _how_known(source: Source):
    return HOW_KNOWN.get(source.tag, "read")


def _by_name(document):
    return natural_key(document.designation)
