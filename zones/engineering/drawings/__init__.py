"""Drawings made from data: wiring diagrams, zone overviews and label sheets as plain SVG text, lengths in mm."""
