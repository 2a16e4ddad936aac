"""Who opens what: people, clients, buildings, jobs.

Each row: anonymous, stranger (manager of another building), manager, engineer, office. Words as in test_urls.py.
ARGUMENTS: the arguments of the address, for a record of Ropewalk Hall.
"""

import secrets

from sites_registry.services.outbox import queue_mail
from tests import builders

EVERYONE = ("open", "open", "open", "open", "open")
OFFICE_ONLY = ("log in", "refused", "refused", "refused", "open")
THE_FIRM = ("log in", "refused", "refused", "open", "open")

EXPECTED = {
    "mail-list": ("log in", "refused", "refused", "refused", "open"),
    "mail-detail": ("log in", "refused", "refused", "refused", "open"),
    "mail-try-again": ("log in", "refused", "refused", "refused", "elsewhere"),
    "my-mails": ("log in", "open", "open", "refused", "open"),
    "firm-update": ("log in", "refused", "refused", "refused", "open"),
    "health": EVERYONE,
    "ready": EVERYONE,
    "field-worker": EVERYONE,
    "without-network": EVERYONE,
    "log-in": ("open", "elsewhere", "elsewhere", "elsewhere", "elsewhere"),
    "log-out": ("log in", "log in", "log in", "log in", "log in"),  # the way out leads to the log-in page
    "password-change": ("log in", "open", "open", "open", "open"),
    "password-reset": EVERYONE,
    "password-reset-done": EVERYONE,
    "password-reset-confirm": EVERYONE,
    "password-reset-complete": EVERYONE,
    "person-list": OFFICE_ONLY,
    "person-update": OFFICE_ONLY,
    "password-link": ("log in", "refused", "refused", "refused", "elsewhere"),
    "invitation-list": OFFICE_ONLY,
    "invitation-create": OFFICE_ONLY,
    "invitation-send-again": ("log in", "refused", "refused", "refused", "elsewhere"),
    "invitation-withdraw": ("log in", "refused", "refused", "refused", "elsewhere"),
    "invitation-accept": EVERYONE,
    "client-list": THE_FIRM,
    "client-create": OFFICE_ONLY,
    "client-detail": THE_FIRM,
    "client-update": OFFICE_ONLY,
    "contact-create": OFFICE_ONLY,
    "contact-update": OFFICE_ONLY,
    "contact-delete": ("log in", "refused", "refused", "refused", "elsewhere"),
    "building-list": ("log in", "open", "open", "open", "open"),
    "building-create": OFFICE_ONLY,
    "building-update": OFFICE_ONLY,
    "building-managers": OFFICE_ONLY,
    "building-manager-remove": ("log in", "refused", "refused", "refused", "elsewhere"),
    "variation-list": ("log in", "hidden", "open", "open", "open"),
    "variation-create": THE_FIRM,
    "variation-update": THE_FIRM,
    "variation-end": THE_FIRM,
    "job-list": THE_FIRM,
    "job-create": OFFICE_ONLY,
    "job-detail": THE_FIRM,
    "job-update": OFFICE_ONLY,
    "job-receipt": THE_FIRM,
    "job-close": OFFICE_ONLY,
    "job-open-again": ("log in", "refused", "refused", "refused", "elsewhere"),
    "handed-over-create": THE_FIRM,
    "handed-over-update": THE_FIRM,
}


def _mail(town):
    return queue_mail(kind="digest", person=town.people["manager"], subject="Things to know", body="All of it.")


ARGUMENTS = {
    **dict.fromkeys(("mail-detail", "mail-try-again"), lambda town: [_mail(town).pk]),
    "password-reset-confirm": lambda town: ["MQ", "not-a-token"],
    "person-update": lambda town: [town.people["engineer"].pk],
    "password-link": lambda town: [town.people["engineer"].pk],
    "invitation-send-again": lambda town: [builders.make_invitation().pk],
    "invitation-withdraw": lambda town: [builders.make_invitation().pk],
    "invitation-accept": lambda town: [_new_link()],
    "client-detail": lambda town: [town.quay_housing.pk],
    "client-update": lambda town: [town.quay_housing.pk],
    "contact-create": lambda town: [town.quay_housing.pk],
    "contact-update": lambda town: [builders.make_contact(town.quay_housing).pk],
    "contact-delete": lambda town: [builders.make_contact(town.quay_housing).pk],
    "building-update": lambda town: [town.hall.slug],
    "building-managers": lambda town: [town.hall.slug],
    "building-manager-remove": lambda town: [town.hall.slug, town.people["engineer"].pk],
    "variation-list": lambda town: [town.hall.slug],
    "variation-create": lambda town: [town.hall.slug],
    "variation-update": lambda town: [builders.make_variation(town.hall).pk],
    "variation-end": lambda town: [builders.make_variation(town.hall).pk],
    "job-detail": lambda town: [town.job.number],
    "job-update": lambda town: [town.job.number],
    "job-receipt": lambda town: [town.job.number],
    "job-close": lambda town: [town.job.number],
    "job-open-again": lambda town: [town.job.number],
    "handed-over-create": lambda town: [town.job.number],
    "handed-over-update": lambda town: [builders.make_handed_over(town.job).pk],
}


def _new_link():
    token = secrets.token_urlsafe(32)
    builders.make_invitation(token=token)
    return token
