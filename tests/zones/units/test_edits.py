"""A label names a unit: it is found, or made, and never silently changed."""

import pytest

from tests import builders
from zones.models import Maker, Unit
from zones.units.edits import UnitRefused, find_or_create_unit


@pytest.fixture
def model(db):
    return builders.make_product_model(name="D-24")


def test_an_unknown_serial_makes_a_unit(model):
    unit, is_new = find_or_create_unit(product_model=model, serial=" A-0  1 ", batch="B7")
    assert is_new
    assert (unit.serial, unit.batch, unit.maker) == ("A-0 1", "B7", model.maker)


def test_a_known_serial_is_found_whatever_its_capitals(model):
    known = builders.make_unit(model, serial="AK-7")
    assert find_or_create_unit(product_model=model, serial="ak-7") == (known, False)
    assert Unit.objects.count() == 1


def test_the_same_serial_of_another_maker_is_another_unit(model):
    builders.make_unit(model, serial="AK-7")
    other = builders.make_product_model(maker=Maker.objects.create(name="Weir Controls"))
    assert find_or_create_unit(product_model=other, serial="AK-7")[1]


def test_a_serial_known_as_another_model_of_the_maker_is_refused(model):
    builders.make_unit(model, serial="AK-7")
    other = builders.make_product_model(name="D-48")
    with pytest.raises(UnitRefused, match="Serial 'AK-7' of Tarn Works is in the register as model D-24, not D-48"):
        find_or_create_unit(product_model=other, serial="AK-7")
    assert Unit.objects.count() == 1


def test_a_batch_that_was_not_known_is_added_and_kept_in_history(model):
    known = builders.make_unit(model, serial="AK-7")
    find_or_create_unit(product_model=model, serial="AK-7", batch="2025-03", reason="label scanned")
    known.refresh_from_db()
    assert known.batch == "2025-03"
    assert known.history.first().history_change_reason == "label scanned"


def test_a_batch_that_differs_is_refused_and_nothing_changes(model):
    known = builders.make_unit(model, serial="AK-7", batch="2025-03")
    with pytest.raises(UnitRefused, match="with batch '2025-03', not '2025-04'"):
        find_or_create_unit(product_model=model, serial="AK-7", batch="2025-04")
    known.refresh_from_db()
    assert known.batch == "2025-03"


@pytest.mark.parametrize(
    ("serial", "sentence"),
    [
        ("  ", "The serial is empty"),
        ("A\x00B", "invisible control character"),
        ("X" * 61, "has 61 characters; the register keeps 60"),
    ],
)
def test_a_serial_that_no_label_prints_is_refused(model, serial, sentence):
    with pytest.raises(UnitRefused, match=sentence):
        find_or_create_unit(product_model=model, serial=serial)
    assert not Unit.objects.exists()


def test_an_over_long_batch_is_refused_with_its_field(model):
    with pytest.raises(UnitRefused, match="at most 40 characters") as refused:
        find_or_create_unit(product_model=model, serial="A-0", batch="B" * 41)
    assert refused.value.field == "batch"
