"""Finds what nothing of the register uses: code by vulture, and templates, style sheets, scripts, tags and URL names.

A name counts as used where the code, a template or a string names it; what only tests name does not. What is kept
all the same stands in `unused_allowed.toml`, each with its reason; an entry that is no longer needed is told too.
"""

import ast
import re
import sys
import tomllib
from pathlib import Path

from django.conf import global_settings
from vulture import Vulture

ROOT = Path(__file__).resolve().parent.parent
SOURCES = ("sites_registry", "zones", "inspections", "manage.py")
# Lists of what a package offers: a name there is offered, not yet used.
OFFERED = ("zones/engineering/__init__.py", "zones/engineering/cause_and_effect/__init__.py")
# A class attribute made by such a call is read by its form, table, filter or model, whatever its name.
DECLARED = re.compile(r"(Field|Column|_column|Filter|Key|Manager)$")
# Settings that are not among Django's own defaults: by their start.
PREFIXES = (
    "AXES_",
    "CONTENT_SECURITY_POLICY",
    "CRISPY_",
    "DJANGO_TABLES2_",
    "MESSAGE_TAGS",
    "ROOT_URLCONF",
    "SIMPLE_HISTORY_",
)
# In tests: what parsers and the mailer call.
CALLED_BY_LIBRARIES = ("handle_*", "on_visit", "on_leave", "send_messages", "BrokenBackend")
NAME = re.compile(r"[A-Za-z_]\w*")


def python_files():
    for source in SOURCES:
        path = ROOT / source
        for file in [path] if path.is_file() else sorted(path.rglob("*.py")):
            if "migrations" not in file.parts:
                yield file


def template_files():
    return [path for path in sorted((ROOT / "templates").rglob("*")) if path.is_file()]


def script_files():
    return sorted((ROOT / "sites_registry/static/js").rglob("*.js"))


def names_in_strings():
    """Names and dotted names that stand in strings: field names, methods of filters, settings."""
    words, dotted = set(), set()
    for path in python_files():
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                parts = node.value.replace("__", ".").split(".")
                if all(NAME.fullmatch(part) for part in parts):
                    words.update(parts)
                    if len(parts) > 1:
                        dotted.add(parts[-1])
    return words, dotted


def names_in_templates():
    marks = (re.findall(r"\{[{%].*?[%}]\}", path.read_text(), re.S) for path in template_files())
    return {name for found in marks for mark in found for name in NAME.findall(mark)}


def declared_to_the_framework():
    """(file, line) of class attributes such as `name = forms.CharField()` and of the values of a TextChoices."""
    found = set()
    for path in python_files():
        for node in ast.walk(ast.parse(path.read_text())):
            if not isinstance(node, ast.ClassDef):
                continue
            is_choices = any("Choices" in ast.unparse(base) for base in node.bases)
            for line in node.body:
                value = getattr(line, "value", None)
                is_declared = isinstance(value, ast.Call) and DECLARED.search(ast.unparse(value.func))
                if is_choices or is_declared:
                    found.add((path, line.lineno))
    return found


def unused_code(called_by_name):
    vulture = Vulture(ignore_names=called_by_name["names"], ignore_decorators=called_by_name["decorators"])
    offered = [str(ROOT / name) for name in OFFERED]
    vulture.scavenge([str(ROOT / source) for source in SOURCES], exclude=["*/migrations/*", *offered])
    words, dotted = names_in_strings()
    vulture.used_names |= names_in_templates() | dotted
    declared = declared_to_the_framework()
    for item in vulture.get_unused_code():
        by_string = item.typ not in ("function", "class") and item.name in words
        if not by_string and (Path(item.filename), item.first_lineno) not in declared and not is_setting(item):
            yield f"{item.filename.relative_to(ROOT)}: {item.typ} {item.name}"


def is_setting(item):
    """Whether it is a setting of Django or of a package of its own prefix, or a format of a language."""
    if Path(item.filename).name not in ("settings.py", "formats.py"):
        return False
    return hasattr(global_settings, item.name) or item.name.startswith(PREFIXES)


def unused_in_tests():
    """Builders and other helpers of the tests that no test calls."""
    vulture = Vulture(
        ignore_names=["test_*", "pytest_*", *CALLED_BY_LIBRARIES],
        ignore_decorators=["@pytest.fixture*", "@fixture*"],
    )
    vulture.scavenge([str(ROOT / "tests")])
    for item in vulture.get_unused_code():
        if item.typ in ("function", "class", "method", "import"):
            yield f"{item.filename.relative_to(ROOT)}: {item.typ} {item.name}"


def unused_assets():
    """Templates, static files and addresses that no code, no template and no script names."""
    scripts = {path: path.read_text() for path in script_files()}
    texts = [path.read_text() for path in [*python_files(), *template_files()]]
    all_text = "\n".join([*texts, *scripts.values()])
    for path in template_files():
        name = path.relative_to(ROOT / "templates").as_posix()
        if not re.search(rf"[\"']{re.escape(name)}[\"']", all_text):
            yield f"templates/{name}: template"
    static = ROOT / "sites_registry/static"
    for path in [*scripts, *static.glob("css/*"), *static.glob("img/*")]:
        if not re.search(rf"[\"'/]{re.escape(path.name)}[\"']", all_text):
            yield f"{path.relative_to(ROOT)}: static file"
    yield from unused_addresses(all_text)
    yield from unused_exports(scripts)


def unused_addresses(all_text):
    for path in python_files():
        names = re.findall(r"""\bname="([\w-]+)\"""", path.read_text()) if path.name == "addresses.py" else ()
        for name in names:
            if len(re.findall(rf"[\"']{name}[\"']", all_text)) < 2:
                yield f"{path.relative_to(ROOT)}: address {name}"


def unused_exports(scripts):
    """What a script offers and no other takes."""
    for path, text in scripts.items():
        others = "\n".join(other for name, other in scripts.items() if name != path)
        for name in re.findall(r"^export (?:async )?(?:function\*?|const|let|class) (\w+)", text, re.M):
            if not re.search(rf"\b{name}\b", others):
                yield f"{path.relative_to(ROOT)}: export {name}"


def main():
    called_by_name = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["unused"]
    allowed = tomllib.loads((ROOT / ".ci/unused_allowed.toml").read_text())
    found = {*unused_code(called_by_name), *unused_in_tests(), *unused_assets()}
    needless = {entry for entry in allowed if not any(one.startswith(entry) for one in found)}
    unused = sorted(one for one in found if not one.startswith(tuple(allowed)))
    for one in unused:
        print(f"{one}: nothing uses it. Remove it, or enter it with the reason in .ci/unused_allowed.toml.")
    for entry in sorted(needless):
        print(f"{entry}: is used, or is there no more. Take it out of .ci/unused_allowed.toml.")
    return 1 if unused or needless else 0


if __name__ == "__main__":
    sys.exit(main())
