"""Colours and sizes of the screen, computed from the style sheets: contrast, tones apart, type, weight."""

import gzip
import re
from itertools import combinations, product
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders

from tests.sites_registry import style_sheets as styles

DARK = "@media screen and (prefers-color-scheme: dark)"
WORDS = ("--ink", "--ink-soft", "--good", "--attention", "--alarm", "--quiet")
GROUNDS = ("--paper", "--sheet", "--accent-pale", "--attention-pale", "--alarm-pale")
MARKS = ("--good-mark", "--attention-mark", "--alarm-mark", "--line-strong", "--accent")
PLOT_TEXT = ("plots", ".plot text")  # in units of the drawing, which grows with its column
SHARED = ("ground", "parts", "tables", "forms")


def tokens(scheme):
    """Name → value; what the dark scheme does not set is as in the light one."""
    found = {}
    for each in styles.declarations(styles.screen_sheets()["tokens"]):
        if each.selector == ":root" and each.media in ("", DARK if scheme == "dark" else ""):
            found[each.name] = each.value
    return found


def luminance(colour):
    """Relative luminance, WCAG 2.2: https://www.w3.org/TR/WCAG22/#dfn-relative-luminance."""
    digits = colour.lstrip("#")
    digits = "".join(digit * 2 for digit in digits) if len(digits) == 3 else digits
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    """Contrast ratio, WCAG 2.2: https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio."""
    lower, higher = sorted((luminance(one), luminance(other)))
    return (higher + 0.05) / (lower + 0.05)


def test_the_contrast_is_reckoned_as_the_standard_does():
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)  # the grey that just passes 4.5 : 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_has_seven_to_one_on_every_ground(scheme):
    colours = tokens(scheme)
    ratios = {(word, on): contrast(colours[word], colours[on]) for word, on in product(WORDS, GROUNDS)}
    ratios |= {
        ("--on-accent", on): contrast(colours["--on-accent"], colours[on]) for on in ("--accent", "--accent-dark")
    }
    assert {pair: round(ratio, 2) for pair, ratio in ratios.items() if ratio < 7} == {}


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_marks_borders_and_the_ring_of_the_focus_have_three_to_one(scheme):
    colours = tokens(scheme)
    ratios = {(mark, on): contrast(colours[mark], colours[on]) for mark, on in product(MARKS, ("--paper", "--sheet"))}
    assert {pair: round(ratio, 2) for pair, ratio in ratios.items() if ratio < 3} == {}


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    "names", [("--good", "--attention", "--alarm"), ("--good-mark", "--attention-mark", "--alarm-mark")]
)
def test_the_three_tones_are_apart_in_luminance_too(scheme, names):
    colours = tokens(scheme)
    ratios = {pair: round(contrast(*(colours[name] for name in pair)), 2) for pair in combinations(names, 2)}
    assert {pair: ratio for pair, ratio in ratios.items() if ratio < 1.5} == {}


def test_type_has_the_sizes_of_the_scale_and_no_other():
    allowed = re.compile(r"var\(--size-\w+\)|inherit|100%|0")
    found = [
        (name, each.selector, each.value)
        for name, text in styles.screen_sheets().items()
        for each in styles.declarations(text)
        if each.name == "font-size" and not allowed.fullmatch(each.value) and (name, each.selector) != PLOT_TEXT
    ]
    assert found == []


def test_no_shared_sheet_measures_in_em():
    found = [
        (name, each.selector, each.value)
        for name in SHARED
        for each in styles.declarations(styles.screen_sheets()[name])
        if re.search(r"[\d.]r?em\b", each.value)
    ]
    assert found == []


def test_gaps_keep_to_the_grid_of_four():
    """2 and 6 stand beside a rule, so that rule and gap together fill the four."""
    found = {
        (name, each.selector, each.name, each.value)
        for name in SHARED
        for each in styles.declarations(styles.screen_sheets()[name])
        if re.fullmatch(r"(row-|column-)?gap|margin(-top|-bottom|-left|-right)?", each.name)
        for size in re.findall(r"(\d+)px", each.value)
        if int(size) % 4 and int(size) not in (1, 2, 6, 7)
    }
    assert found == set()


def test_the_first_page_loads_no_more_than_before_the_sheets_were_redrawn():
    """Sheets and scripts packed as they are sent, and type: 53.6 kB and 232 kB before."""
    names = re.findall(r"static '([^']+\.(?:css|js))'", (styles.TEMPLATES / "base.html").read_text())
    fonts = re.findall(r"url\(\"\.\./(vendor/[^\"]+)\"", styles.screen_sheets()["tokens"])
    assert len(names) > 5
    assert len(fonts) > 4
    assert sum(len(gzip.compress(content_of(name))) for name in names) <= 53_600
    assert sum(len(content_of(name)) for name in fonts) <= 232_000


def content_of(name):
    return Path(finders.find(name)).read_bytes()
