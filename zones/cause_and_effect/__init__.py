"""Cause and effect of a panel: from records to the pure logic and back, and what its pages show."""
