"""Words that were tried and given up stand on no page, paper or message: one word for one thing.

What is read: the text and attributes of every template, every text in the code (Python, and the scripts of the pages)
that a person may read, and the standard protocols. Comments, docstrings and names of things in the code say nothing
to anybody.
"""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
APPS = ("sites_registry", "zones", "inspections")
# Words that other firms write in their lists stay readable to the import.
OTHER_PEOPLE_S_WORDS = {"zones/engineering/device_kinds.py", "zones/device_lists/columns.py"}

NO_LONGER_USED = {
    r"\btwins?\b": "identical units",
    r"\bprove (that this unit|the place)\b|\bplace (is )?(not )?proven\b": "place confirmed, confirm the place",
    # The one thing still called so: what is broken or pushed in at a call point (EN 54-11: frangible element).
    r"(?<!frangible )\belements?\b": "end-of-line resistor, end-of-line module",
    r"\b(normal|alarm|resistance) windows?\b": "range",
    r"\bg(ave|ive|iven) up\b": "no longer used, take out of use",
    r"\bbehind (its|their) date\b": "overdue",
    r"\bcoming (visit|inspection)s?\b": "upcoming",
    r"\blook (at|into) (it|this|them)\b": "needs review, check it",
    r"\bcomfort\b": "ventilation",
    r"\bmeets (the )?values? entered\b": "within the entered limit",
    r"\bparted by\b|\bit parts\b": "separated by, separates",
    r"\btold (for|reliably)\b|\bis not told\b": "recognised, reported",
    r"\bdisabled (now|past)\b": "out of service",
    r"\bnever (been )?(commissioned|inspected)\b": "no inspection on record",
    r"\bstorey 0\b": "ground floor",
    r"\[(S2|M|P)\]": "second-hand, from memory, common practice",
    r"\d ms\b|\bmilliseconds\b": "nothing: computed is computed",
    r"\bin the fire \((m|min)\)|\bhot length\b": "length exposed to fire, time exposed to fire",
    r"\b1 \(wins\)|\b1 wins\b": "the highest priority",
    r"\b(defect|point|row|unit|day)\(s\)": "1 defect, 2 defects",
}
# A time alone stands below a head that says the day.
DATE_IN_ANOTHER_FORMAT = re.compile(r'\|(?:date|time):"(?!j M Y"|j M Y, H:i"|H:i"|c"|Y-m-d")[^"]*"')


def texts_of_code(path):
    """(line, text) of every text of a module that is neither a docstring nor a bare key."""
    tree = ast.parse(path.read_text())
    silent = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        is_text = isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in silent
        if is_text and not re.fullmatch(r"[a-z0-9_.\-/<>:]*", node.value):
            yield node.lineno, node.value


def texts_of_template(path):
    """(line, text) of a template without its tags, comments and the addresses it names."""
    text = re.sub(r"{#.*?#}|{% comment %}.*?{% endcomment %}", "", path.read_text(), flags=re.S)
    text = re.sub(r"{%-?\s*url [^%]*%}", "", text)
    text = re.sub(r"""(?:href|id|class|for|name|data-[\w-]+|hx-[\w-]+|include|url) ?=?\s*["'][^"']*["']""", "", text)
    text = re.sub(r"\n\s*(?=[^\s<>{])", " ", text)  # a sentence goes on: words on two lines are said together
    for number, line in enumerate(text.splitlines(), start=1):
        yield number, re.sub(r"{{.*?}}|{%-?\s*(?!state)\w+[^%]*%}", " ", line)


def texts_of_script(path):
    """(line, text) of every text of a script that has more than one word."""
    script = re.sub(r"/\*.*?\*/", lambda found: "\n" * found[0].count("\n"), path.read_text(), flags=re.S)
    for number, line in enumerate(script.splitlines(), start=1):
        line = re.sub(r"^\s*//.*", "", line)
        for text in re.findall(r'"((?:[^"\\]|\\.)*)"|`([^`]*)`', line):
            said = re.sub(r"\${[^}]*}", " ", "".join(text))
            if " " in said.strip():
                yield number, said


# A number of things, of which there may be one.
NUMBER_WITHOUT_A_SINGULAR = re.compile(
    r"{{ ?[\w.|]*(?:count|\|length|total|total_rows) ?}} "
    r"(?!days|hours|years)[a-z]{3,}s\b(?! *{% *(?:if|else))"
)


def everything_said():
    for app in APPS:
        for path in sorted((ROOT / app).rglob("*.py")):
            name = path.relative_to(ROOT).as_posix()
            if "/migrations/" not in name and name not in OTHER_PEOPLE_S_WORDS:
                yield from ((name, line, text) for line, text in texts_of_code(path))
    for path in sorted((ROOT / "sites_registry" / "static" / "js").rglob("*.js")):
        name = path.relative_to(ROOT).as_posix()
        yield from ((name, line, text) for line, text in texts_of_script(path))
    for path in sorted((ROOT / "templates").rglob("*.*")):
        if path.suffix in (".html", ".txt"):
            name = path.relative_to(ROOT).as_posix()
            yield from ((name, line, text) for line, text in texts_of_template(path))
    for path in sorted((ROOT / "inspections" / "protocols").glob("*.toml")):
        for line, text in enumerate(path.read_text().splitlines(), start=1):
            yield path.name, line, text


@pytest.fixture(scope="module")
def said():
    return list(everything_said())


@pytest.mark.parametrize("given_up", NO_LONGER_USED)
def test_a_word_given_up_is_said_nowhere(said, given_up):
    pattern = re.compile(given_up, re.I)
    found = [f"{name}:{line}: {text.strip()[:100]}" for name, line, text in said if pattern.search(text)]
    assert not found, f"say {NO_LONGER_USED[given_up]}: {found}"


def test_the_search_reads_what_people_read(said):
    """Were it to pass over the pages, it would find nothing for ever."""
    names = {name for name, _, _ in said}
    assert {
        "templates/inspections/home/home_office.html",
        "zones/engineering/line_check.py",
        "inspection.toml",
    } <= names
    assert "sites_registry/static/js/field/card.js" in names
    assert any("no inspection on record" in text for _, _, text in said)


def test_dates_are_written_in_one_way():
    found = [
        f"{path.name}: {match[0]}"
        for path in (ROOT / "templates").rglob("*.html")
        for match in DATE_IN_ANOTHER_FORMAT.finditer(path.read_text())
    ]
    assert not found


def test_a_number_and_its_noun_agree():
    """{{ count|counted:"rows" }} says "1 row"; so does {{ count }} row{{ count|pluralize }}."""
    found = [
        f"{path.name}: {match[0]}"
        for path in (ROOT / "templates").rglob("*.html")
        for match in NUMBER_WITHOUT_A_SINGULAR.finditer(path.read_text())
    ]
    assert not found
