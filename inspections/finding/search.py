"""Answers of the find box: the whole code first, then its beginning, then a part; near misses where none is whole."""

from dataclasses import dataclass, field

from django.db.models import Case, Q, Value, When

from inspections.finding.kinds import KINDS, visits_of_number
from sites_registry.folded import Folded, folded, near_misses

MOST_WHOLE = 24
MOST_PER_KIND = 12
MOST_NEAR = 6
NAMES_COMPARED = 20_000
WHOLE, BEGINNING, PART = range(3)
SAME, ONE_OFF = range(2)


@dataclass
class Found:
    """Hits whose code is the whole text as `(noun, hit)`, the rest by heading, and near misses as `(noun, hit)`."""

    whole: list = field(default_factory=list)
    groups: list = field(default_factory=list)
    near: list = field(default_factory=list)

    @property
    def hits(self):
        """All that was found as typed."""
        return [hit for _noun, hit in self.whole] + [hit for _heading, group in self.groups for hit in group]


def find_text(user, text, building=None):
    """What this person may see of `text`, that of `building` first; as many queries for few records as for many."""
    found = Found()
    kinds = [kind for kind in KINDS if user.role in kind.roles]
    for kind in kinds:
        records = _as_typed(kind, user, text, building)
        hits = list(zip(records, kind.hits(user, records), strict=True)) if records else []
        found.whole += [(kind.noun, hit) for record, hit in hits if record.rank == WHOLE]
        if rest := [hit for record, hit in hits if record.rank != WHOLE]:
            found.groups.append((kind.heading, rest[:MOST_PER_KIND]))
    found.whole += [("visit", hit) for hit in visits_of_number(user, text)]
    if not found.whole:
        found.near = _near(kinds, user, text, building, {hit.url for hit in found.hits})
    return found


def _any(names, lookup, value):
    condition = Q()
    for name in names:
        condition |= Q(**{f"{name}__{lookup}": value})
    return condition


def _as_typed(kind, user, text, building):
    whole = _any(kind.codes, "iexact", text)
    # What is the whole contains it too: asking both would read every code twice.
    matching = _any((*kind.codes, *kind.words), "icontains", text)
    if (more := kind.exact(text)) is not None:
        whole, matching = whole | more, matching | more
    rank = Case(When(whole, then=WHOLE), When(_any(kind.codes, "istartswith", text), then=BEGINNING), default=PART)
    records = kind.records(user).filter(matching).annotate(rank=rank)
    return list(_here_first(kind, records, building, "rank")[:MOST_WHOLE])


def _here_first(kind, records, building, *before):
    if building is None:
        return records.order_by(*before, *kind.order, "pk")
    away = Case(When(kind.here(building), then=0), default=1)
    return records.annotate(away=away).order_by(*before, "away", *kind.order, "pk")


def _near(kinds, user, text, building, already):
    """Near misses of each kind: those that differ by hyphens and look-alikes only, if there are any, else all."""
    codes = near_misses(text)
    near = []
    for kind in kinds if codes else ():
        records = _near_names(kind, user, codes) if kind.is_name else _near_codes(kind, user, codes, text)
        records = list(_here_first(kind, records, building, "off")[:MOST_NEAR])
        hits = kind.hits(user, records) if records else []
        near += [(record.off, kind.noun, hit) for record, hit in zip(records, hits, strict=True)]
    least = min((off for off, _noun, _hit in near), default=SAME)
    return [(noun, hit) for off, noun, hit in near if off == least and hit.url not in already]


def _near_codes(kind, user, codes, text):
    keys = {f"folded_{name}": Folded(name) for name in kind.codes}
    same = _any(keys, "exact", folded(text))
    records = kind.records(user).alias(**keys).filter(_any(keys, "in", sorted(codes)))
    return records.annotate(off=Case(When(same, then=SAME), default=ONE_OFF))


def _near_names(kind, user, codes):
    """A name is near where the whole of it is, or one of its words."""
    (name,) = kind.codes
    names = kind.records(user).order_by().values_list("pk", name)[:NAMES_COMPARED]
    near = [pk for pk, words in names if codes & {folded(words), *map(folded, words.split())}]
    return kind.records(user).filter(pk__in=near[:MOST_NEAR]).annotate(off=Value(ONE_OFF))
