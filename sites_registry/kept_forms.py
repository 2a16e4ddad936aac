"""What a phone has to know of a form, to keep it without a network and send it later (field/kept_form.js)."""

from django.urls import reverse


def kept_form(person, label, back, done=""):
    """`label` says what the form does, as "place of M1".

    `back` is the page that follows when it was kept, `done` when the register has taken it: this page without one.
    """
    return {
        "label": label,
        "person": {"id": person.pk, "name": person.full_name},
        "back": back,
        "done": done,
        "log_in": reverse("log-in"),
    }
