"""Which papers of product models and of the building a hand-over needs, and which of them nobody has attached yet.

Common practice, no standard: products under a harmonised standard (control panels, detectors, call points, vents) come
with a declaration of performance, electrical equipment with a declaration of conformity; whoever works the system gets
manuals, and call points carry their label in a language that is read there.
"""

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Q

from zones.models import Attachment, Position, ProductModel, Vent
from zones.models.kinds import facts_of
from zones.models.languages import SEVERAL, code_of, name_of

Kind = Attachment.Kind
READ_BY_PEOPLE = (Kind.MANUAL, Kind.LABEL)  # of these the language counts


@dataclass(frozen=True, slots=True)
class MissingPapers:
    """Papers that one model, or the building, still lacks; `owner` and `owner_word` say where they are attached."""

    about: str
    papers: tuple[str, ...]
    owner: object
    owner_word: str

    @property
    def words(self):
        """ "Tarn M1 (actuator): declaration of conformity, manual in English not attached."."""
        return f"{self.about}: {', '.join(self.papers)} not attached."


def missing_papers(building, *, label_language="") -> list[MissingPapers]:
    """What is not attached of what a hand-over needs; a fixed number of queries.

    `label_language` as typed with the job: manuals and labels are asked for in it; unknown, any language will do.
    """
    language = code_of(label_language)
    models = [one for one in models_in_use(building) if facts_of(one.kind).papers]
    found = defaultdict(list)
    for attachment in Attachment.objects.filter(product_model__in=models, withdrawn_at=None):
        found[attachment.product_model_id].append(attachment)
    rows = [
        MissingPapers(f"{model} ({model.get_kind_display()})", papers, model, "product-model")
        for model in models
        if (papers := _missing(map(Kind, facts_of(model.kind).papers), found[model.pk], language))
    ]
    return [*rows, *_of_the_building(building, language)]


def models_in_use(building):
    """Models of what is fitted in the building, else planned there; by name."""
    fitted = Q(
        units__fittings__removed_on=None,
        units__fittings__position__building=building,
        units__fittings__position__retired_on=None,
    )
    planned = Q(pk__in=Position.objects.in_use().without_unit().filter(building=building).values("product_model"))
    models = ProductModel.objects.filter(Q(pk__in=ProductModel.objects.filter(fitted).values("pk")) | planned)
    return list(models.select_related("maker").order_by("kind", "maker__name", "name"))


def _of_the_building(building, language):
    """The manual of the whole, and the declarations of its vents, which are no units with a model of their own."""
    here = Attachment.objects.filter(
        Q(building=building) | Q(panel__building=building) | Q(job__building=building), withdrawn_at=None
    )
    has_vents = Vent.objects.filter(smoke_zone__building=building, purpose=Vent.Purpose.OUTLET).exists()
    needed = (Kind.MANUAL, *((Kind.DECLARATION,) if has_vents else ()))
    papers = _missing(needed, list(here), language)
    words = {str(Kind.DECLARATION.label): "declaration of performance of the vents"}
    papers = tuple(words.get(paper, paper) for paper in papers)
    return [MissingPapers(f"{building} as a whole", papers, building, "building")] if papers else []


def _missing(needed, attachments, language):
    return tuple(
        _in_words(kind, language) for kind in needed if not any(_is(kind, language, each) for each in attachments)
    )


def _is(kind, language, attachment):
    if attachment.kind != kind:
        return False
    is_read = kind in READ_BY_PEOPLE and language
    # Files kept before languages were asked for state none: they count, somebody chose them for this building.
    return not is_read or attachment.language in ("", language, SEVERAL)


def _in_words(kind, language):
    return f"{kind.label} in {name_of(language)}" if language and kind in READ_BY_PEOPLE else str(kind.label)
