"""Sizes, rules, margins and typefaces of paper, once for both of its engines: print.css and the .typ templates."""

MEASURES = {
    "font_sans": "Sheet",
    "font_mono": "Sheet Code",
    "font_signs": "DejaVu Sans",
    "font_signs_mono": "DejaVu Sans Mono",
    "ascent_em": 0.95,
    "descent_em": 0.225,
    "h1_pt": 16,
    "h2_pt": 11,
    "lead_pt": 10,
    "small_pt": 7.5,
    "head_em": 0.875,
    "code_em": 0.96,
    "colour_ink": "#111111",
    "colour_lead": "#333333",
    "colour_label": "#333333",
    "colour_soft": "#444444",
    "colour_hair": "#999999",
    "rule_hair_mm": 0.15,
    "rule_strong_mm": 0.35,
    "rule_box_mm": 0.5,
    "certificate_title_pt": 20,
    "block_pt": 8,
    "block_label_pt": 5.5,
    "block_title_pt": 10,
    "block_long_pt": 6,
    "block_stamp_pt": 7,
    "block_note_pt": 6,
    "block_row_mm": 9.8,
    "portrait": {
        "paper": "a4",
        "text_pt": 9,
        "line_em": 1.4,
        "top_mm": 15,
        "right_mm": 12,
        "bottom_mm": 43,
        "left_mm": 25,
        "block_columns": [5, 4, 2, 2],
        "block_cells": [
            ["owner", 1],
            ["name", 2],
            ["page", 1],
            ["building", 1],
            ["client", 1],
            ["ident", 2],
            ["prepared", 2],
            ["date", 1],
            ["revision", 1],
        ],
        # of papers that show the record as installed
        "drawn_columns": [1, 1, 1, 1, 1, 1],
        "drawn_cells": [
            ["owner", 2],
            ["name", 3],
            ["page", 1],
            ["building", 2],
            ["client", 2],
            ["ident", 2],
            ["prepared", 1],
            ["revision", 1],
            ["as_installed", 1],
            ["drawn", 1],
            ["checked", 1],
            ["approved", 1],
        ],
    },
    "landscape": {
        "paper": "a4",
        "text_pt": 8,
        "line_em": 1.35,
        "top_mm": 20,
        "right_mm": 12,
        "bottom_mm": 36,
        "left_mm": 12,
        "block_columns": [8, 6, 7, 6, 3.5, 5.5],
        "block_cells": [
            ["owner", 1],
            ["name", 2],
            ["ident", 2],
            ["page", 1],
            ["building", 1],
            ["client", 1],
            ["prepared", 2],
            ["date", 1],
            ["revision", 1],
        ],
        "drawn_columns": [5.5, 4.5, 4.5, 4.5, 4.5, 4.5, 4.5, 4.5],
        "drawn_cells": [
            ["owner", 2],
            ["name", 3],
            ["ident", 2],
            ["page", 1],
            ["building", 1],
            ["client", 1],
            ["prepared", 1],
            ["revision", 1],
            ["as_installed", 1],
            ["drawn", 1],
            ["checked", 1],
            ["approved", 1],
        ],
    },
}

UNITS = ("pt", "mm", "em")
MARGINS = ("top_mm", "right_mm", "bottom_mm", "left_mm")


def as_css():
    """What print.css reads: each measure as a custom property (h1_pt → --h1), margins and columns as rules."""
    sides = {side: MEASURES[side] for side in ("portrait", "landscape")}
    named = {f"{side} {key}": value for side, measures in sides.items() for key, value in measures.items()}
    given = [
        _property(key, value) for key, value in {**MEASURES, **named}.items() if not isinstance(value, dict | list)
    ]
    return f"html {{ {' '.join(given)} }}\n" + "".join(_rules(side, measures) for side, measures in sides.items())


def _property(key, value):
    name, _, unit = key.replace(" ", "_").rpartition("_")
    if unit not in UNITS:
        return f"--{key.replace('_', '-').replace(' ', '-')}: {value};"
    # The height of a line is a number, so that it follows the size of the text.
    return f"--{name.replace('_', '-')}: {value}{'' if name.endswith('line') else unit};"


def _rules(side, measures):
    margins = " ".join(f"{measures[name]}mm" for name in MARGINS)
    blocks = {"": measures["block_columns"], ".drawn": measures["drawn_columns"]}
    grids = "".join(
        f".{side} .title-block{look} .grid {{ grid-template-columns: {' '.join(f'{part}fr' for part in columns)}; }}\n"
        for look, columns in blocks.items()
        if columns
    )
    names = [side, "drawing"] if side == "landscape" else [side]
    pages = "".join(f"@page {name} {{ margin: {margins}; }}\n" for name in names)
    return pages + grids
