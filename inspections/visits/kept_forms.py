"""What a phone has to know of a form of a visit, to keep it without a network and send it later."""

from django.urls import reverse

from sites_registry import kept_forms


def kept_form(person, visit, label, back="", done="", *, starts=False, is_once=False):
    """`label` says what the form does, as "swap of SD1"; the walk follows when it was kept, without `back`.

    `starts`: the visit is planned, and has to be started before the form goes out. `is_once`: of several that
    wait, only the last is meant.
    """
    visit_url = reverse("visit-field", args=[visit.pk])
    return kept_forms.kept_form(person, label, back or visit_url, done) | {
        "visit": visit.pk,
        "visit_name": f"{visit}, {visit.building.name}",
        "visit_url": visit_url,
        "starts": reverse("visit-start", args=[visit.pk]) if starts else "",
        "is_once": is_once,
    }
