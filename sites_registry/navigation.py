"""The main menu: who sees which entry, in which order. Each app says in its `menu.py` what its entries are."""

from dataclasses import dataclass, field
from importlib import import_module

from django.apps import apps
from django.core.exceptions import ImproperlyConfigured
from django.urls import reverse
from django.utils.module_loading import module_has_submodule

from sites_registry.access import Role

# By the name of the page that an entry leads to. Nobody else decides who sees which.
MAIN = {
    Role.OFFICE: (
        "home",
        "building-list",
        "job-list",
        "visit-list",
        "defect-list",
        "certificate-list",
        "unit-list",
        "battery-list",
        "product-model-list",
        "client-list",
        "person-list",
    ),
    Role.ENGINEER: (
        "home",
        "building-list",
        "visit-list",
        "defect-list",
        "certificate-list",
        "unit-list",
        "battery-list",
        "product-model-list",
        "calculator",
    ),
    Role.MANAGER: ("home", "building-list", "defect-list", "battery-list", "certificate-list"),
}
# Under the name of the person, before password and log-out.
ACCOUNT = {Role.OFFICE: ("firm-update", "practice-list")}


@dataclass(frozen=True)
class Entry:
    """A page that a menu leads to; `words_for` where a role calls it otherwise."""

    page: str
    word: str
    words_for: dict = field(default_factory=dict)

    def word_for(self, role):
        return self.words_for.get(role, self.word)


ENTRIES = {}


def read_menus():
    """Take the entries of each app that has a `menu.py`; called once all apps are loaded.

    Raises:   ImproperlyConfigured: a menu names an entry that no app has.
    """
    for app in apps.get_app_configs():
        if module_has_submodule(app.module, "menu"):
            ENTRIES.update({entry.page: entry for entry in import_module(f"{app.name}.menu").ENTRIES})
    named = {page for menu in (MAIN, ACCOUNT) for pages in menu.values() for page in pages}
    if lacking := sorted(named - set(ENTRIES)):
        raise ImproperlyConfigured(f"No menu.py of an app has an entry for {', '.join(lacking)}.")


def links_of(menu, *, role, path):
    """The links of a menu for a role, the one that leads to `path` marked."""
    return [_link(ENTRIES[page], role, path) for page in menu.get(role, ())]


def _link(entry, role, path):
    url = reverse(entry.page)
    return {
        "word": entry.word_for(role),
        "url": url,
        "is_here": path == url if url == "/" else path.startswith(url),
    }
