"""A page as a person reads it: white space counts as a browser counts it, however a template is laid out."""

import re

from django.test import Client

NAMES_OF_BLOCKS = (
    "html head body title meta link header footer main nav section article aside div p ul ol li dl dt dd table caption "
    "colgroup col thead tbody tfoot tr td th h1 h2 h3 h4 h5 h6 form fieldset legend option optgroup details summary "
    "figure figcaption hr br script style svg g path rect circle line text desc pre textarea"
)
BLOCKS = set(NAMES_OF_BLOCKS.split())
# White space counts around these, but not at their inner edges.
BOXES = {"button", "select", "label"}
PIECE = re.compile(
    r"(?P<kept><(?P<verbatim>pre|textarea|script|style)\b.*?</(?P=verbatim)>)"
    r"|(?P<tag></?(?P<name>[a-zA-Z][\w-]*)(?:\"[^\"]*\"|'[^']*'|[^<>\"'])*>)"
    r"|(?P<text>(?:[^<]|<(?![/a-zA-Z]))+)",
    re.DOTALL,
)
ATTRIBUTE_SPACE = re.compile(r"\"[^\"]*\"|'[^']*'|\s+(?=/?>)|\s+")


def tidy(tag):
    def one_space(found):
        piece = found[0]
        if piece[0] in "\"'":
            return piece
        return "" if tag[found.end()] in "/>" else " "

    return ATTRIBUTE_SPACE.sub(one_space, tag)


def as_read(html):
    """The same page with no white space that a browser would not show."""
    pieces = []
    at_line_start = True  # nothing has been shown yet on this line of text
    for found in PIECE.finditer(html):
        if found["text"]:
            text = re.sub(r"[ \t\r\n\f]+", " ", found["text"])
            pieces.append(text.lstrip(" ") if at_line_start else text)
            at_line_start = (pieces[-1] == "" and at_line_start) or pieces[-1].endswith(" ")
            continue
        name = (found["verbatim"] or found["name"]).lower()
        closes = found[0].startswith("</")
        if name in BLOCKS or (name in BOXES and closes):
            drop_end_of_line(pieces)
        pieces.append(found["kept"] or tidy(found["tag"]))
        if name in BLOCKS or (name in BOXES and not closes):
            at_line_start = True
        elif name in BOXES or name in {"input", "img"}:
            at_line_start = False
    return "".join(pieces)


def drop_end_of_line(pieces):
    """Takes away the space at the end of a line, which may stand before the end of inline elements."""
    for place in range(len(pieces) - 1, -1, -1):
        if pieces[place].startswith("</") and pieces[place][2:-1].lower() not in BLOCKS | BOXES:
            continue
        if not pieces[place].startswith("<"):
            pieces[place] = pieces[place].rstrip(" ")
            if not pieces[place]:
                continue
        return


class Reader(Client):
    """A test client whose pages read as in a browser."""

    def request(self, **request):
        response = super().request(**request)
        if response.get("Content-Type", "").startswith("text/html") and not response.streaming:
            response.content = as_read(response.content.decode()).encode()
        return response
