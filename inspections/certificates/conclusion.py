"""Whether the system may be relied on: one sentence, derived from what a certificate states, in one place.

Careful on purpose: whatever is not known to work takes the good sentence away. What never takes it away (minor defects,
advice, agreed departures, settings not compared, documents missing) is said beside it on the first sheet.
"""

from sites_registry.words import counted

RELIABLE, LIMITED, IMPAIRED = "reliable", "limited", "impaired"
NO_MEASURE = "No measure is recorded for the meantime."
WEIGHING_MATTERS = ("wiring", "design check")  # accepted as they stand, they are still not right


def conclusion_of(statement):
    """The conclusion of a statement (version 5 or later), to be frozen with it.

    Returns {"state": reliable · limited · impaired, "sentence", "because": what impairs, "limits": what else limits it,
    "measures": what the building does meanwhile}.
    """
    because, limits = _impaired_by(statement), _limited_by(statement)
    measures = _measures(statement) if because else []
    if because:
        besides = f" Besides: {'; '.join(limits)}." if limits else ""
        state, sentence = IMPAIRED, f"The system is impaired: {'; '.join(because)}.{besides}"
    elif limits:
        state, sentence = LIMITED, f"The system may be relied on with these limits: {'; '.join(limits)}."
    else:
        state, sentence = RELIABLE, "The system may be relied on, as tested on the date of the visit."
    return {"state": state, "sentence": sentence, "because": because, "limits": limits, "measures": measures}


def _impaired_by(statement):
    said = []
    if number := len(_of_severity(statement, "impaired")):
        said.append(f"{counted(number, 'open defects')} impairing smoke control")
    if number := len(_out(statement, "disablement")):
        said.append(f"{counted(number, 'parts')} out of service")
    return said


def _measures(statement):
    """One for each thing that impairs, each once; where none was recorded, that is said."""
    rows = [*_of_severity(statement, "impaired"), *_out(statement, "disablement")]
    return list(dict.fromkeys(row["meanwhile"] or NO_MEASURE for row in rows))


def _limited_by(statement):
    """Everything short of an impairment that takes the good sentence away, each as a few words."""
    return [
        *statement["not_reached"],
        *_counted(_of_severity(statement, "degraded"), "open defects", "degrading it"),
        *_counted(_out(statement, "fault"), "faults", "reported and not ended"),
        *_counted(statement["unsettled"], "checks", "failed or outside limits, not put right"),
        *_counted(_readings(statement, "not judged"), "readings", "not judged against limits"),
        *_counted(range(sum(row["untested"] for row in statement["tested"])), "checks", "without an answer"),
        *_counted(statement["not_tested_for_12_months"], "positions", "not tested for 12 months"),
        *(f"commissioning plan of {plan['panel']}: {plan['open_words']}" for plan in _open_plans(statement)),
        *(f"commissioning plan of {plan['panel']} not whole" for plan in _plans_not_whole(statement)),
        *_accepted(statement),
        *(f"instrument {row['name']}: {row['words']}" for row in statement["instruments"] if row["state"] in _UNPROVEN),
        *statement["instruments_lacking"],
        *([] if statement["tested"] else ["nothing was tested"]),
    ]


_UNPROVEN = ("overdue", "not_known")


def _of_severity(statement, severity):
    return [row for row in statement["defects"] if row["severity_key"] == severity]


def _out(statement, kind):
    return [row for row in statement["out_of_service"] if row["kind"] == kind]


def _readings(statement, verdict):
    return [row for row in statement["readings"] if row["verdict"] == verdict]


def _open_plans(statement):
    return [plan for plan in statement["plans"] if plan["open_steps"]]


def _plans_not_whole(statement):
    return [plan for plan in statement["plans"] if plan["not_covered"] and not plan["open_steps"]]


def _accepted(statement):
    for kind in WEIGHING_MATTERS:
        number = sum(row["kind"] == kind for row in statement["accepted"])
        if number:
            yield f"{kind}: {counted(number, 'findings')} accepted as {'they stand' if number > 1 else 'it stands'}"


def _counted(rows, noun, words):
    return [f"{counted(len(rows), noun)} {words}"] if len(rows) else []
