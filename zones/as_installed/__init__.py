"""The as-installed record of a building: what it holds, and what changed between two of them."""
