"""Locating a fault on a monitored line as a dialogue: readings, what explains them, what to measure next.

measurements (what can be measured, and how safely) → damage (what each shows) → causes → likelihood → worth (what a
measurement would tell) → two_faults (pairs of causes, where no single one explains all) → search.
"""

from zones.engineering.fault_location.search import locate_fault

__all__ = ["locate_fault"]
