"""What the menu may lead to in this app; who sees it stands in navigation.py."""

from sites_registry.navigation import Entry

ENTRIES = (
    Entry("job-list", "Jobs"),
    Entry("client-list", "Clients"),
    Entry("person-list", "People", also_below=("invitations", "qualifications")),
    Entry("firm-update", "The firm"),
    Entry("mail-list", "Mails"),
)
