"""How a template is broken into lines does not show on paper."""

import pytest
from weasyprint import HTML

from sites_registry.documents.base import with_units_kept
from sites_registry.documents.white_space import without_edges


@pytest.mark.parametrize(
    ("written", "left"),
    [
        ("<td>\n  21.6 to 30 V\n</td>", "<td>21.6 to 30 V</td>"),
        ("<tr>\n  <td>\n <b>a</b>\n</td>\n</tr>", "<tr><td><b>a</b></td></tr>"),
        ("<p>a <b>b</b> c\n<br>\nd</p>", "<p>a <b>b</b> c<br>d</p>"),
        ('<dd class="prose">one\ntwo</dd>', '<dd class="prose">one\ntwo</dd>'),
        ("<title>\n  Report ·\n  Hall\n</title>", "<title>Report · Hall</title>"),
    ],
)
def test_white_space_goes_at_the_edges_of_blocks_only(written, left):
    assert without_edges(written) == left


def test_a_line_that_just_fits_is_not_broken_because_its_cell_begins_on_a_line_of_its_own():
    def height(cell):
        style = "<style>@page{size:40mm 40mm;margin:0}body,p{margin:0}p{width:7.4em;font:10px monospace}</style>"
        page = HTML(string=style + without_edges(f"<p>{cell}</p>")).render().pages[0]
        return [
            box.height for box in page._page_box.descendants() if box.element_tag == "p" and box.is_in_normal_flow()
        ]

    assert height("\n   21.6 to 30\xa0V\n  ") == height("21.6 to 30\xa0V")


def test_a_number_keeps_its_unit_over_a_line_break_of_the_template():
    assert with_units_kept("<p>147.1\n      m; 2 years</p>") == "<p>147.1\xa0m; 2\xa0years</p>"
    assert with_units_kept("<p>2 × rain sensor</p>") == "<p>2\xa0× rain sensor</p>"
