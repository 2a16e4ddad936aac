"""Wiring patterns as text: what is read, what is refused with its line, what is repeated. Trade practice, no source."""

import pytest

from zones.engineering.wiring.patterns import DEFAULT_PATTERNS, PatternError, default_pattern, read_pattern, repeated
from zones.engineering.wiring.wired_panel import Passing, Polarity, TerminalKind


def test_a_line_gives_terminal_kind_way_pole_voltage_and_function():
    (one,) = read_pattern("-X1:1 line in + 24 V, from the panel").terminals
    assert (one.name, one.kind, one.passing, one.polarity, one.voltage_v, one.function) == (
        "X1:1",
        TerminalKind.LINE,
        Passing.IN,
        Polarity.PLUS,
        24.0,
        "from the panel",
    )


@pytest.mark.parametrize("text", ["X1:1 line − out", "X1:1 out line -", "\n  X1:1   LINE - OUT\n\n"])
def test_order_spacing_and_the_kind_of_minus_do_not_matter(text):
    (one,) = read_pattern(text).terminals
    assert (one.polarity, one.passing) == (Polarity.MINUS, Passing.OUT)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("X1 line", "Line 1: 'X1' is no terminal"),
        ("X1:1", "give one kind"),
        ("X1:1 line input", "give one kind"),
        ("X1:1 wire", "'wire' is not understood"),
        ("X1:1 line + -", "at most one pole"),
        ("X1:1 line 0 V", "0 V is not possible"),
        ("X1:1 line 5000 V", "5000 V is not possible"),
        ("X1:1 line\nX1:1 line", "X1:1 stands there twice"),
        ("X1:1 line\nlink X1:1 X1:2", "names X1:2, which is no terminal"),
        ("X1:1 line\nlink X1:1 X1:1", "is no link"),
        ("for each cat\nX{n}:1 line", "for each cat' is not understood"),
        ("for each line\nX1:1 line", "needs {n} in its name"),
        ("X{n}:1 line", "has {n}, but stands below no"),
        ("X1:1 line, " + "x" * 121, "more than 120 letters"),
        ("\n".join(f"X1:{n} line" for n in range(201)), "201 terminals are too many"),
    ],
)
def test_what_is_no_pattern_is_told_with_its_line(text, sentence):
    with pytest.raises(PatternError) as error:
        read_pattern(text)
    assert sentence in str(error.value)


def test_a_panels_pattern_is_repeated_for_each_output_and_line():
    pattern = read_pattern(
        "X1:L supply 230 V\nfor each line\nXL{n}:1 line out +, line {n}\nXL{n}:2 line out -\nlink XL{n}:1 XL{n}:2"
    )
    terminals, links = repeated(pattern, {"line": [1, 7]})
    assert [(one.name, number) for one, number in terminals] == [
        ("X1:L", None),
        ("XL1:1", 1),
        ("XL1:2", 1),
        ("XL7:1", 7),
        ("XL7:2", 7),
    ]
    assert terminals[3][0].function == "line 7"
    assert links == [("XL1:1", "XL1:2"), ("XL7:1", "XL7:2")]


@pytest.mark.parametrize("key", DEFAULT_PATTERNS)
def test_every_usual_pattern_reads(key):
    assert read_pattern(default_pattern(*key)).terminals


def test_links_of_the_usual_patterns_join_in_and_out_of_one_function():
    for text in DEFAULT_PATTERNS.values():
        pattern = read_pattern(text)
        by_name = {one.name: one for one in pattern.terminals}
        for first, second in pattern.links:
            a, b = by_name[first], by_name[second]
            assert (a.kind, a.polarity, a.function) == (b.kind, b.polarity, b.function)
            assert (a.passing, b.passing) == (Passing.IN, Passing.OUT)
