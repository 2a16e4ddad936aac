"""The free area of a zone: like is compared with like, and a missing figure gives no verdict.

The rule is the handbook's (calculations.md, house rules: "missing input -> no verdict"; process.md §1 step 1).
"""

from decimal import Decimal

import pytest

from zones.free_areas import answer_of
from zones.models import SmokeZone, Vent


def zone(area="3.00", kind="aerodynamic"):
    return SmokeZone(number=1, name="Stair", required_area_m2=area and Decimal(area), required_area_kind=kind)


def vent(tag, aerodynamic=None, geometric=None):
    return Vent(
        tag=tag,
        aerodynamic_area_m2=aerodynamic and Decimal(aerodynamic),
        geometric_area_m2=geometric and Decimal(geometric),
    )


@pytest.mark.parametrize(
    ("vents", "key", "sentence"),
    [
        ([vent("V1", "1.50"), vent("V2", "1.60")], "in_order", "Meets the value entered, with 0.10 m² to spare"),
        ([vent("V1", "1.50"), vent("V2", "1.50")], "in_order", "with 0.00 m² to spare"),
        ([vent("V1", "1.50"), vent("V2", "1.40")], "not_in_order", "Short of the value entered by 0.10 m²"),
        ([vent("V1", "9.00"), vent("V2", None, "9.00")], "missing", "1 of 2 vents have no aerodynamic area (V2)"),
        ([], "missing", "No vent recorded"),
    ],
)
def test_required_aerodynamic_area_against_the_vents(vents, key, sentence):
    answer = answer_of(zone(), vents)
    assert answer.key == key
    assert sentence in answer.sentence


def test_a_geometric_area_never_answers_for_an_aerodynamic_one():
    vents = [vent("V1", "1.00", "5.00")]
    assert answer_of(zone(kind="aerodynamic"), vents).key == "not_in_order"
    assert answer_of(zone(kind="geometric"), vents).key == "in_order"


def test_without_a_required_area_there_is_nothing_to_compare_with():
    assert answer_of(zone(area=None, kind=""), [vent("V1", "1.00")]).key == "missing"
