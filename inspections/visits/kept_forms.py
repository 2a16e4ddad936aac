"""What a phone has to know of a form of a visit, to keep it without a network and send it later."""

from django.urls import reverse


def kept_form(person, visit, label, back=""):
    """`label` says what the form does, as "swap of SD1"; `back` is the page that it leads to."""
    return {
        "label": label,
        "person": {"id": person.pk, "name": person.full_name},
        "visit": visit.pk,
        "visit_name": f"{visit}, {visit.building.name}",
        "visit_url": reverse("visit-field", args=[visit.pk]),
        "back": back,
        "log_in": reverse("log-in"),
    }
