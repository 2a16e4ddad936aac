"""What is copied from a record that was checked is what it would be if it were made afresh."""

from dataclasses import FrozenInstanceError, replace

import pytest

from tests.zones.engineering.designs import make_actuator, make_device, make_panel
from zones.engineering import CableRun, Conductor, LoadModel, Vent
from zones.engineering.copies import renamed
from zones.engineering.derived import derived

RUN = CableRun("C1", 12.0, Conductor(2.5, 2))
COPIED = [
    *((make_actuator(load_model=kind), {"name": "B", "at": "C2", "vent": "V2", "vent_key": 2}) for kind in LoadModel),
    (RUN, {"name": "C2", "length_m": 30.0, "fed_from": "C1"}),
    (replace(RUN, length_m=None, cores_per_pole=2), {"name": "C2", "length_m": 30.0, "fed_from": None}),
    (make_panel().vents[0], {"name": "V9", "zone": "Z9", "key": 9}),
    (Vent("V1", width_m=30e-3, height_m=1.0), {"name": "V9", "zone": None, "key": None}),
    (make_device("D1"), {"name": "D2", "length_m": 3.0, "conductor": Conductor(0.5, 5)}),
]


@pytest.mark.parametrize(("record", "changes"), COPIED)
def test_a_copy_and_all_that_follows_from_it_is_that_of_a_record_made_afresh(record, changes):
    following = [name for name, of in vars(type(record)).items() if isinstance(of, derived)]
    for name in following:
        getattr(record, name)  # what is worked out already is copied with the rest
    copy, fresh = renamed(record, **changes), replace(record, **changes)
    assert copy == fresh
    assert repr(copy) == repr(fresh)
    assert {name: getattr(copy, name) for name in following} == {name: getattr(fresh, name) for name in following}


def test_a_copy_leaves_the_record_as_it_was_and_cannot_be_changed_either():
    copy = renamed(RUN, name="C2")
    assert (RUN.name, copy.name) == ("C1", "C2")
    with pytest.raises(FrozenInstanceError):
        copy.name = "C3"
