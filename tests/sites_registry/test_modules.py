"""A page of a visit asks for all its scripts and typefaces at once."""

import re

from django.contrib.staticfiles import finders
from django.urls import reverse

from sites_registry.modules import modules_of


def test_modules_are_found_through_those_that_import_them():
    found = modules_of("js/field/form.js")
    assert found[0] == "js/field/form.js"
    assert {"js/field/queue.js", "js/field/database.js", "vendor/idb-8.0.4/index.js"} <= set(found)


def test_a_module_that_imports_nothing_is_alone():
    assert modules_of("js/field/counted.js") == ("js/field/counted.js",)


def test_the_walk_names_each_of_its_scripts_and_typefaces_once(as_, town):
    page = as_("engineer").get(reverse("visit-field", args=[town.visit.pk])).text
    asked = re.findall(r'<link rel="modulepreload" href="/static/([^"]+)">', page)
    assert set(modules_of("js/field/walk_page.js")) <= set(asked)
    assert len(asked) == len(set(asked))
    asked = re.findall(r'<link rel="preload" as="font" type="font/woff2" href="/static/([^"]+)" crossorigin>', page)
    assert len(asked) == 5  # regular, semibold and bold of the one, regular and semibold of the other (tokens.css)
    assert all(finders.find(name) for name in asked)
