"""Who calculates: an engineer, in every test of the calculators."""

import pytest


@pytest.fixture
def engineer(as_):
    return as_("engineer")
