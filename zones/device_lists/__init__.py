"""Device lists: a building's positions with their units as one table, in from a file and out again.

reading → mapping → checking → applying, staged in an ImportRun by `staging`; `exporting` is the way back.
"""
