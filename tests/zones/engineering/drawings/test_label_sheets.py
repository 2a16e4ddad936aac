"""Sheets of labels: places on A4, what fits on a label, and codes that can be read."""

from itertools import combinations
from xml.etree import ElementTree

import pytest
import segno
from hypothesis import given
from hypothesis import strategies as st

from tests.zones.engineering.drawings.geometry import overlap
from zones.engineering.drawings.label_sheets import (
    A4_HEIGHT_MM,
    A4_WIDTH_MM,
    QUIET_MODULES,
    SMALLEST_MODULE_MM,
    STOCKS,
    LabelStock,
    LabelText,
    StockError,
    centred,
    code_module_mm,
    label_sheets,
)

SVG = "{http://www.w3.org/2000/svg}"
ADDRESS = "https://register.example/positions/123456/"


def code(text=ADDRESS):
    return tuple(bytes(row) for row in segno.make(text, error="m", micro=False).matrix)


def labels_on(svg):
    return [each for each in ElementTree.fromstring(svg).iter(f"{SVG}g") if each.get("class") == "d-label"]  # noqa: S314


# Sizes as labels are sold (trade practice): count, width × height.
@pytest.mark.parametrize(
    ("key", "count", "size"),
    [("3x8", 24, (70, 37)), ("2x7", 14, (99.1, 38.1)), ("3x7", 21, (63.5, 38.1)), ("5x13", 65, (38.1, 21.2))],
)
def test_common_sheets_hold_so_many_labels_and_lie_in_the_middle(key, count, size):
    stock = STOCKS[key]
    first, last = stock.place(0), stock.place(count - 1)
    assert stock.per_sheet == count and (first.width, first.height) == size
    assert first.x == pytest.approx(A4_WIDTH_MM - last.right) and first.y == pytest.approx(A4_HEIGHT_MM - last.bottom)


def test_labels_of_a_sheet_do_not_overlap():
    for stock in STOCKS.values():
        rects = [stock.place(number) for number in range(stock.per_sheet)]
        assert not [pair for pair in combinations(rects, 2) if overlap(*pair)]


def test_labels_that_go_beyond_the_sheet_are_refused_with_the_figure_and_the_remedy():
    with pytest.raises(
        StockError, match="4 columns of 60 mm with their edge and gaps take 240 mm; A4 is 210 mm wide. "
    ):
        LabelStock(4, 8, 60, 37, 0, 0)
    assert LabelStock(3, 8, 60, 37, 0, 0).per_sheet == 24


def test_a_used_sheet_is_gone_on_with_at_its_first_free_label():
    sheets = label_sheets([LabelText(f"M{number}") for number in range(30)], STOCKS["3x8"], start=20)
    assert [len(labels_on(sheet)) for sheet in sheets] == [5, 24, 1]
    (tag,) = [each for each in ElementTree.fromstring(sheets[0]).iter(f"{SVG}text") if each.text == "M0"]  # noqa: S314
    place = STOCKS["3x8"].place(19)
    assert place.x <= float(tag.get("x")) <= place.right and place.y <= float(tag.get("y")) <= place.bottom


def test_no_label_makes_no_sheet():
    assert label_sheets([], STOCKS["3x8"]) == []


def test_edges_are_drawn_only_for_a_trial():
    texts = [LabelText("M1")]
    for wanted, count in ((True, 24), (False, 0)):
        (svg,) = label_sheets(texts, STOCKS["3x8"], has_outlines=wanted)
        assert svg.count("d-outline") == count


@pytest.mark.parametrize("key", STOCKS)
def test_a_code_on_every_common_sheet_has_modules_that_a_phone_reads(key):
    assert code_module_mm(STOCKS[key], len(code())) >= SMALLEST_MODULE_MM


def test_a_label_too_small_for_a_code_goes_without():
    small = centred(10, 20, 18, 9)
    assert code_module_mm(small, len(code())) == 0
    assert "d-code" not in label_sheets([LabelText("M1", (), code())], small)[0]


def test_the_drawn_code_is_the_code_of_the_address():
    """The path is read back module by module and compared with the matrix of the QR library."""
    (svg,) = label_sheets([LabelText("M1", (), code())], STOCKS["3x8"])
    (path,) = [each for each in ElementTree.fromstring(svg).iter(f"{SVG}path") if each.get("class") == "d-code"]  # noqa: S314
    dark = set()
    for bar in path.get("d").split("z")[:-1]:
        x, rest = bar.removeprefix("M").split(" ")
        y, run = rest.split("h")[0], int(rest.split("h")[1].split("v")[0])
        dark |= {(int(x) + step, int(y)) for step in range(run)}
    assert dark == {(x, y) for y, row in enumerate(code()) for x, module in enumerate(row) if module}


def test_a_code_gives_way_where_it_may_and_the_lines_do_not_fit_beside_it():
    lines = ("P2 -XA12:11", "to M112 -X12:11")
    for needed, count in ((True, 1), (False, 0)):
        (svg,) = label_sheets([LabelText("W2.12.1 BN", lines, code(), needed)], STOCKS["5x13"])
        assert svg.count("d-code") == count
    assert all(f">{line}<" in svg for line in lines)


WORDS = st.text(st.characters(blacklist_categories=["Cs"]), max_size=60)


@given(
    st.builds(LabelText, WORDS, st.lists(WORDS, max_size=6).map(tuple), st.sampled_from([(), code()])),
    st.sampled_from([*STOCKS.values(), centred(10, 20, 18, 9), centred(1, 1, 100, 150)]),
)
def test_whatever_is_written_stays_on_its_label_and_off_its_code(label, stock):
    from zones.engineering.drawings.label_sheets import _lines

    rect = stock.place(stock.per_sheet - 1)
    module = code_module_mm(stock, len(label.code)) if label.code else 0
    left = rect.x + (module * (len(label.code) + 2 * QUIET_MODULES) if module else 1)
    lines, _ = _lines(label, left, rect)
    assert all(rect.holds(line.rect) for line in lines)
    assert not [pair for pair in combinations(lines, 2) if overlap(pair[0].rect, pair[1].rect)]
