"""The main menu: who sees which entry, in which order. Each app says in its `menu.py` what its entries are."""

from dataclasses import dataclass, field
from importlib import import_module

from django.apps import apps
from django.core.exceptions import ImproperlyConfigured
from django.urls import reverse
from django.utils.module_loading import module_has_submodule

from sites_registry.access import Role


@dataclass(frozen=True)
class Section:
    """One entry of the menu: its pages stand side by side on each of them; `word` where it is not that of the first."""

    pages: tuple
    word: str = ""


def _alone(*pages):
    return tuple(Section((page,)) for page in pages)


_STOCK = Section(("unit-list", "battery-list", "product-model-list", "instrument-list"))
_OFFICE = Section(
    (
        "job-list",
        "client-list",
        "person-list",
        "protocol-list",
        "practice-list",
        "firm-update",
        "mail-list",
        "verification-list",
    ),
    "Office",
)
_RECORDS = ("home", "building-list", "visit-list", "defect-list", "certificate-list")

# By the name of the page that an entry leads to. Nobody else decides who sees which.
MAIN = {
    Role.OFFICE: (*_alone(*_RECORDS), _STOCK, _OFFICE),
    Role.ENGINEER: (*_alone(*_RECORDS), _STOCK, *_alone("calculator")),
    Role.MANAGER: _alone("home", "building-list", "defect-list", "certificate-list", "battery-list"),
}


@dataclass(frozen=True)
class Entry:
    """A page that a menu leads to; `words_for` where a role calls it otherwise.

    What stands below it at addresses of other beginnings (`/panels/` below the buildings) is named in `also_below`.
    """

    page: str
    word: str
    words_for: dict = field(default_factory=dict)
    also_below: tuple = ()

    def word_for(self, role):
        return self.words_for.get(role, self.word)

    def leads_to(self, path):
        url = reverse(self.page)
        return path == url if url == "/" else path.startswith(url)

    def has_below(self, path):
        return path.startswith(tuple(f"/{start}/" for start in self.also_below))


ENTRIES = {}


def read_menus():
    """Take the entries of each app that has a `menu.py`; called once all apps are loaded.

    Raises:   ImproperlyConfigured: a menu names an entry that no app has.
    """
    for app in apps.get_app_configs():
        if module_has_submodule(app.module, "menu"):
            ENTRIES.update({entry.page: entry for entry in import_module(f"{app.name}.menu").ENTRIES})
    named = {page for menu in MAIN.values() for section in menu for page in section.pages}
    if lacking := sorted(named - set(ENTRIES)):
        raise ImproperlyConfigured(f"No menu.py of an app has an entry for {', '.join(lacking)}.")


def links_of(*, role, path):
    """The entries of the menu for a role, that of the section that `path` lies in marked."""
    menu = MAIN.get(role, ())
    here = section_at(path, role=role)
    return [
        {
            "word": section.word or ENTRIES[section.pages[0]].word_for(role),
            "url": reverse(section.pages[0]),
            "is_here": section is here,
        }
        for section in menu
    ]


def section_at(path, *, role):
    """The section of a role's menu that a page lies in: home for what lies in none, None without a menu."""
    menu = MAIN.get(role, ())
    for is_there in (Entry.leads_to, Entry.has_below):
        for section in menu:
            if any(is_there(ENTRIES[page], path) for page in section.pages):
                return section
    return menu[0] if menu else None


def pages_beside(*, role, path):
    """The pages of the section that `path` lies in, the one it leads to marked; none for a section of one page."""
    section = section_at(path, role=role)
    if section is None or len(section.pages) < 2:
        return []
    return [
        {
            "word": ENTRIES[page].word_for(role),
            "url": reverse(page),
            "is_here": ENTRIES[page].leads_to(path) or ENTRIES[page].has_below(path),
        }
        for page in section.pages
    ]
