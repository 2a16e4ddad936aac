"""Locating a fault on a monitored line as a dialogue: readings, what explains them, what to measure next.

measurements (what can be measured, and how safely) → damage (what each shows) → causes → likelihood → search.
"""

from zones.engineering.fault_location.search import locate_fault

__all__ = ["locate_fault"]
