"""Who opens what: people, clients, buildings, jobs.

Each row: anonymous, stranger (manager of another building), manager, engineer, office. Words as in test_urls.py.
ARGUMENTS: the arguments of the address, for a record of Ropewalk Hall.
"""

import secrets

from tests import builders

EVERYONE = ("open", "open", "open", "open", "open")
OFFICE_ONLY = ("log in", "refused", "refused", "refused", "open")
THE_FIRM = ("log in", "refused", "refused", "open", "open")

EXPECTED = {
    "firm-update": ("log in", "refused", "refused", "refused", "open"),
    "log-in": ("open", "elsewhere", "elsewhere", "elsewhere", "elsewhere"),
    "log-out": ("log in", "log in", "log in", "log in", "log in"),  # the way out leads to the log-in page
    "password-change": ("log in", "open", "open", "open", "open"),
    "password-reset": EVERYONE,
    "password-reset-done": EVERYONE,
    "password-reset-confirm": EVERYONE,
    "password-reset-complete": EVERYONE,
    "person-list": OFFICE_ONLY,
    "person-update": OFFICE_ONLY,
    "invitation-list": OFFICE_ONLY,
    "invitation-create": OFFICE_ONLY,
    "invitation-send-again": ("log in", "refused", "refused", "refused", "elsewhere"),
    "invitation-withdraw": ("log in", "refused", "refused", "refused", "elsewhere"),
    "invitation-accept": EVERYONE,
}

ARGUMENTS = {
    "password-reset-confirm": lambda town: ["MQ", "not-a-token"],
    "person-update": lambda town: [town.people["engineer"].pk],
    "invitation-send-again": lambda town: [builders.make_invitation().pk],
    "invitation-withdraw": lambda town: [builders.make_invitation().pk],
    "invitation-accept": lambda town: [_new_link()],
}


def _new_link():
    token = secrets.token_urlsafe(32)
    builders.make_invitation(token=token)
    return token
