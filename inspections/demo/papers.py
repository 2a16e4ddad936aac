"""Demo: papers kept with models and buildings, and what was accepted as it stood, with why."""

from inspections.models import AcceptedMatter
from inspections.standing_matters.acceptances import accept_matters
from inspections.standing_matters.matters import what_stands
from zones.files.attachments import attach_file
from zones.files.documents_needed import READ_BY_PEOPLE
from zones.models import Attachment
from zones.models.kinds import facts_of

Kind = AcceptedMatter.Kind
OLD = "old"  # of models no longer made nobody has found the papers yet
WORDS = {
    Attachment.Kind.DECLARATION: "declares the performance of this model, tested by an invented laboratory.",
    Attachment.Kind.CONFORMITY: "declares that this model conforms; the directives are invented too.",
    Attachment.Kind.MANUAL: "How to work and look after it, step by step (invented).",
    Attachment.Kind.LABEL: "The words of the label that is on the device (invented).",
}
REASONS = {
    Kind.WIRING: "Closed in before it was written down; recorded at the next repair, agreed with the client.",
    Kind.DESIGN: "Known to the client, who agrees; the missing figure or part is asked for.",
    Kind.SETTINGS: "Not written down one by one on this visit, agreed with the client; compared at the next one.",
    Kind.DOCUMENTS: "The maker has sent no copy; asked for in writing.",
    Kind.VISITS: "Planned already; the certificate says what was seen until now.",
}


def attach_papers_of_models(models, by):
    """What a hand-over needs of each model that is still made."""
    for key, model in models.items():
        for kind in () if OLD in key else map(Attachment.Kind, facts_of(model.kind).papers):
            language = "en" if kind in READ_BY_PEOPLE else ""
            attach(by, kind, f"{model.maker} {WORDS[kind]}", str(model), language, product_model=model)


def attach_papers_of_building(building, by):
    attach(
        by,
        Attachment.Kind.MANUAL,
        "Who opens and closes the vents, and how (invented).",
        str(building),
        "en",
        building=building,
    )
    attach(
        by,
        Attachment.Kind.DECLARATION,
        "Vents: declared by their invented maker.",
        f"vents of {building}",
        "",
        building=building,
    )


def attach(by, kind, words, name, language, **owner):
    """Through the service, as a person would: a plain text with an invented content."""
    ((field, record),) = owner.items()
    attach_file(
        owner_field=field,
        owner=record,
        name=f"{kind.label} {name}.txt",
        content=f"{name}\n{words}\n".encode(),
        kind=kind,
        by=by,
        language=language,
    )


def accept_what_stands(job, visit, record, by, at):
    """Accept each kind of matter with the reason that the scenario has for it."""
    by_kind = {}
    for one in what_stands(job, visit=visit, record=record).unaccepted:
        by_kind.setdefault(one.kind, []).append(one.digest)
    for kind, digests in by_kind.items():
        accept_matters(job=job, visit=visit, digests=digests, reason=REASONS[kind], by=by, record=record, at=at)
