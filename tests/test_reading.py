"""The reader of the tests counts white space as a browser does."""

import pytest

from tests.reading import as_read


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("<p>\n  Two\n  words\n</p>", "<p>Two words</p>"),
        ("<dl>\n <dt>A</dt>\n <dd>\n  B\n </dd>\n</dl>", "<dl><dt>A</dt><dd>B</dd></dl>"),
        ("<p>one <b>two</b> <i>three</i></p>", "<p>one <b>two</b> <i>three</i></p>"),
        ("<p>one<b> two</b>, three .</p>", "<p>one<b> two</b>, three .</p>"),
        ("<td>\n <span>\n  x\n </span>\n</td>", "<td><span>x</span></td>"),
        ('<a\n  class="b"\n  href="c  d"\n>x</a>', '<a class="b" href="c  d">x</a>'),
        ("<p>a\n<br>\nb</p>", "<p>a<br>b</p>"),
        ("a <button>\n Go\n</button> b", "a <button>Go</button> b"),
        ("<textarea>\n a\n  b</textarea>", "<textarea>\n a\n  b</textarea>"),
        ("<p>1 < 2</p>", "<p>1 < 2</p>"),
    ],
)
def test_white_space_is_read_as_a_browser_shows_it(written, read):
    assert as_read(written) == read
