"""The commissioning plan of three zones alike."""

import pytest

from tests.zones.engineering.cause_and_effect.logics import (
    make_ruleset,
)
from zones.engineering.cause_and_effect import (
    commissioning_plan,
)


@pytest.fixture(scope="module")
def plan():
    return commissioning_plan(make_ruleset(3, groups=2, detectors=2))
