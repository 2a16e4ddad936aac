"""How a template is broken into lines must not show on paper."""

import re

_BLOCKS = (
    "html|head|body|title|meta|main|section|div|p|ul|ol|li|dl|dt|dd|table|caption|colgroup|col|thead|tbody|tfoot|tr|td|th"
    "|h[1-6]|figure|figcaption|br|hr"
)
_EDGES = re.compile(rf"\s*(</?(?:{_BLOCKS})\b[^>]*>)\s*")
_TITLE = re.compile(r"(?<=<title>)[^<]*")


def without_edges(html):
    """The same HTML with no white space at the edges of its blocks, and a title of one line.

    The layout program counts white space at the start of a block when it looks for the end of the first line, and a
    line that just fits would be broken. The title goes into the properties of the file as it is written.
    """
    return _TITLE.sub(lambda found: " ".join(found[0].split()), _EDGES.sub(r"\1", html))
