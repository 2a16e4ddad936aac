"""Copies of the register that can be proved: made while it runs, checked, restored into an empty place, moved."""
