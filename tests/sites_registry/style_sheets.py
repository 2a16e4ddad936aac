"""Reads style sheets and templates for the tests of what they say to each other."""

import re
from functools import cache
from pathlib import Path
from typing import NamedTuple

import tinycss2

ROOT = Path(__file__).resolve().parent.parent.parent
TEMPLATES = ROOT / "templates"
SCREEN = ROOT / "sites_registry" / "static" / "css"
PRINT = (TEMPLATES / "documents" / "print.css", TEMPLATES / "components" / "plots" / "print.css")
APPS = ("sites_registry", "zones", "inspections")

BARE = re.compile(r"\"[^\"]*\"|\d*\.\d+|:(?:is|not)\((?:[^()]|\([^()]*\))*\)")
QUOTED = re.compile(r"\"[^\"]*\"|\d*\.\d+")
CLASS = re.compile(r"\.([A-Za-z][\w-]*)")
IDENTIFIER = re.compile(r"#([A-Za-z][\w-]*)")
NAMED = re.compile(r"\b(class|id)=\"((?:[^\"{]|\{%.*?%\}|\{\{.*?\}\}|\{)*)\"", re.DOTALL)


class Declaration(NamedTuple):
    """One property of one selector, in the media that its rule stands in."""

    media: str
    selector: str
    name: str
    value: str


def written(tokens):
    return " ".join(tinycss2.serialize(tokens).replace("/**/", "").split())


def selectors_of(prelude):
    parts = [[]]
    for token in prelude:
        if token == ",":
            parts.append([])
        else:
            parts[-1].append(token)
    return [written(part) for part in parts]


@cache
def declarations(text):
    """Every declaration of a sheet in its order; typefaces and page boxes, which have no selector, left out."""
    found = []

    def read(rules, media):
        for rule in rules:
            if rule.type == "error":
                raise ValueError(f"line {rule.source_line}: {rule.message}")
            if rule.type == "at-rule" and rule.lower_at_keyword in {"media", "supports"}:
                inner = tinycss2.parse_rule_list(rule.content, skip_comments=True, skip_whitespace=True)
                read(inner, f"{media} @{rule.lower_at_keyword} {written(rule.prelude)}".strip())
            elif rule.type == "qualified-rule":
                stated = tinycss2.parse_declaration_list(rule.content, skip_comments=True, skip_whitespace=True)
                for selector in selectors_of(rule.prelude):
                    found.extend(Declaration(media, selector, each.name, written(each.value)) for each in stated)

    read(tinycss2.parse_stylesheet(text, skip_comments=True, skip_whitespace=True), "")
    return found


def set_twice(sheets):
    """(media, selector, property) that these sheets, loaded together, set more than once."""
    seen, twice = set(), []
    for text in sheets:
        for media, selector, name, _ in declarations(text):
            key = media, selector, name
            if key in seen:
                twice.append(key)
            seen.add(key)
    return twice


def classes_of(selector):
    return set(CLASS.findall(QUOTED.sub("", selector)))


@cache
def screen_sheets():
    return {path.stem: path.read_text() for path in sorted(SCREEN.glob("*.css"))}


@cache
def templates():
    return {str(path.relative_to(TEMPLATES)): path.read_text() for path in sorted(TEMPLATES.rglob("*.html"))}


@cache
def inclusion_tags():
    """Template tag → the template that it fills."""
    found = {}
    for app in APPS:
        for path in (ROOT / app / "templatetags").glob("*.py"):
            for template, name in re.findall(
                r"inclusion_tag\(\"([^\"]+)\".*?\)\s*def (\w+)", path.read_text(), re.DOTALL
            ):
                found[name] = template
    return found


def parent_of(name):
    found = re.search(r"{%\s*extends \"([^\"]+)\"", templates()[name])
    return found and found[1]


def parts_of(name):
    text = templates()[name]
    parts = set(re.findall(r"{%\s*include \"([^\"]+)\"", text))
    parts |= {template for tag, template in inclusion_tags().items() if re.search(rf"{{%\s*{tag}\b", text)}
    return {part for part in parts if part.endswith(".html")}


def with_all_parts(name, known=None):
    """A template, what it extends and includes, and what those do."""
    known = set() if known is None else known
    if name not in known:
        known.add(name)
        for other in parts_of(name) | ({parent_of(name)} - {None}):
            with_all_parts(other, known)
    return known


def names_given(text):
    """(classes, ids) that a template gives to its elements, whatever its conditions say."""
    classes, identifiers = set(), set()
    for kind, value in NAMED.findall(text):
        words = re.sub(r"{%.*?%}", " ", value)
        words = re.sub(r"{{(.*?)}}", lambda found: " ".join(re.findall(r"['\"]([^'\"]*)['\"]", found[1])), words)
        (classes if kind == "class" else identifiers).update(re.findall(r"[A-Za-z][\w-]*", words))
    return classes, identifiers


def sheets_loaded(name):
    """Sheets that a page links, those of the templates that it extends with them."""
    own = set(re.findall(r"{% static 'css/([\w-]+)\.css' %}", templates()[name]))
    parent = parent_of(name)
    return own | (sheets_loaded(parent) if parent else set())


@cache
def asked_by(sheet):
    """(classes, ids) that each selector of a sheet asks for; a selector of neither meets nothing in particular."""
    bare = {BARE.sub("", each.selector) for each in declarations(screen_sheets()[sheet])}
    asked = [(frozenset(CLASS.findall(each)), frozenset(IDENTIFIER.findall(each))) for each in bare]
    return [(classes, identifiers) for classes, identifiers in asked if classes or identifiers]


def sheets_needed(name, known_to_all):
    """Sheets with a rule that may meet an element of the page, besides those that every page loads."""
    classes, identifiers = set(), set()
    for part in with_all_parts(name):
        some_classes, some_identifiers = names_given(templates()[part])
        classes |= some_classes
        identifiers |= some_identifiers
    return {
        sheet
        for sheet in screen_sheets().keys() - known_to_all
        if any(asked <= classes and identified <= identifiers for asked, identified in asked_by(sheet))
    }
