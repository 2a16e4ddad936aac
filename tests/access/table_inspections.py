"""Who opens what: visits, defects, certificates, log books, overviews. See table_sites_registry.py."""

EXPECTED = {
    "home": ("log in", "open", "open", "open", "open"),
    "building-detail": ("log in", "hidden", "open", "open", "open"),
}

ARGUMENTS = {
    "building-detail": lambda town: [town.hall.slug],
}
