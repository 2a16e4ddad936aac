"""What a paper with long tables is made of: plain data that `templates/documents/sheet.typ` sets, block after block.

A value is text, text with a look ({"look": code · strong · soft · small, "text"}), a list of values (a line each) or
runs of values in one line (`runs`).
"""

from sites_registry.documents.typeset import Column, breakable, table_of


def strong(text):
    return {"look": "strong", "text": str(text)}


def code(text):
    return {"look": "code", "text": str(text)}


def soft(text):
    return {"look": "soft", "text": str(text)}


def link(text, *, to):
    """Text that leads to an address."""
    return {"look": "link", "to": to, "text": str(text)}


def runs(*values):
    """Several values in one line."""
    return {"look": "runs", "runs": list(values)}


def heading(text, level=2):
    return {"kind": "heading", "level": level, "text": text}


def words(value):
    return {"kind": "words", "value": value}


def small(value):
    return {"kind": "small", "value": value}


def bullets(values):
    return {"kind": "bullets", "values": list(values)}


def facts(*rows):
    """Label and value in two columns; a row without a value says so."""
    return {"kind": "facts", "rows": breakable([[label, value or "not stated"] for label, value in rows])}


def together(*blocks):
    """Blocks that stand on one sheet."""
    return {"kind": "together", "blocks": list(blocks)}


def table(columns, *groups):
    return {"kind": "table", **table_of(columns, *groups)}


def box(title, *values):
    """What nobody may miss: a title and lines, or blocks, in a frame."""
    return {"kind": "box", "title": title, "values": list(values)}


def beside(value, *, picture, words):
    """A value with a small picture at its right: its name among those given to `typeset_pdf`, and what it shows."""
    return {"look": "beside", "value": value, "picture": picture, "words": words}


def figures(*figures):
    """Pictures in rows of four, none torn: each (name among those given to `typeset_pdf`, what it shows, caption)."""
    return {
        "kind": "figures",
        "figures": [dict(zip(("name", "words", "caption"), one, strict=True)) for one in figures],
    }


def plot(name, drawn):
    """A drawing (`zones.plots.Plot`), given to `typeset_pdf` under this name, with its words and its figures."""
    notes = [strong(f" {note}") for note in drawn.notes]
    first, *others = drawn.columns
    columns = (Column(first), *(Column(head, None, "number") for head in others))
    rows = [[str(cell) for cell in row] for row in drawn.rows]
    return {
        "kind": "plot",
        "name": name,
        "title": drawn.title,
        "words": drawn.description,
        "caption": runs(drawn.description, *notes),
        "table": table_of(columns, (None, rows)),
    }


def stamp(text):
    """What the title block of each sheet says too, such as that the record is incomplete."""
    return {"kind": "stamp", "text": text}


def new_sheet():
    return {"kind": "new-sheet"}
