"""What the menu may lead to in this app; who sees it stands in sites_registry/navigation.py."""

from sites_registry.navigation import Entry

ENTRIES = (
    Entry("unit-list", "Units"),
    Entry("battery-list", "Batteries"),
    Entry("product-model-list", "Models"),
    Entry("calculator", "Calculator"),
    Entry("practice-list", "Common practice"),
)
