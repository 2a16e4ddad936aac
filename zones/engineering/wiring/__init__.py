"""Wiring, core by core: plain data, checks."""
