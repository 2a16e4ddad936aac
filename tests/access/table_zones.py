"""Who opens what: what is fitted and wired. See table_sites_registry.py."""

EXPECTED = {}

ARGUMENTS = {}
