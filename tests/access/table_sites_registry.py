"""Who opens what: people, clients, buildings, jobs.

Each row: anonymous, stranger (manager of another building), manager, engineer, office. Words as in test_urls.py.
ARGUMENTS: the arguments of the address, for a record of Ropewalk Hall.
"""

EXPECTED = {
    "firm-update": ("log in", "refused", "refused", "refused", "open"),
    "log-in": ("open", "elsewhere", "elsewhere", "elsewhere", "elsewhere"),
    "log-out": ("log in", "log in", "log in", "log in", "log in"),  # the way out leads to the log-in page
    "password-change": ("log in", "open", "open", "open", "open"),
}

ARGUMENTS = {}
