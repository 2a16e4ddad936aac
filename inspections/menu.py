"""What the menu may lead to in this app; who sees it stands in sites_registry/navigation.py."""

from sites_registry.access import Role
from sites_registry.navigation import Entry

ENTRIES = (
    Entry("home", "Home", {Role.ENGINEER: "My visits"}),
    Entry("building-list", "Buildings"),
    Entry("visit-list", "Visits"),
    Entry("defect-list", "Defects"),
    Entry("certificate-list", "Certificates"),
)
