"""The building as IFC 4, judged and read by ifcopenshell, which is no part of the register."""

import ifcopenshell
import ifcopenshell.util.element
import pytest
from django.urls import reverse

from inspections.open_records import ifc_model
from tests.zones.wiring.wired import wire_town
from zones.engineering.device_kinds import KINDS


@pytest.fixture
def content(town):
    wire_town(town)
    type(town.detector).objects.filter(pk=town.detector.pk).update(room="Stair")
    return ifc_model.ifc_of(town.hall)


def test_the_file_has_no_fault_by_the_schema_and_its_rules(content):
    """ISO 16739-1, by the validator of ifcopenshell with the rules in EXPRESS."""
    assert ifc_model.faults_of(content) == []


def test_a_device_stands_in_its_storey_with_model_and_serial(content):
    model = ifcopenshell.file.from_string(content.decode())
    (detector,) = model.by_type("IfcSensor")
    assert (detector.Name, detector.PredefinedType) == ("SD1", "SMOKESENSOR")
    told = ifcopenshell.util.element.get_psets(detector)
    assert told["Pset_ManufacturerOccurrence"]["SerialNumber"] == "AK-0001"
    assert ifcopenshell.util.element.get_container(detector).Name == "1"
    (zone,) = model.by_type("IfcZone")
    assert [space.Name for space in zone.IsGroupedBy[0].RelatedObjects] == ["Stair"]


def test_the_same_record_has_the_same_identity_each_time(content, town):
    def identities(text):
        return sorted(one.GlobalId for one in ifcopenshell.file.from_string(text.decode()).by_type("IfcRoot"))

    assert identities(content) == identities(ifc_model.ifc_of(town.hall))


def test_every_kind_has_an_entity_and_a_type_of_the_standard():
    schema = ifcopenshell.schema_by_name("IFC4")
    for kind in KINDS.values():
        entity, predefined = kind.ifc
        (attribute,) = [
            one for one in schema.declaration_by_name(entity).all_attributes() if one.name() == "PredefinedType"
        ]
        assert predefined in attribute.type_of_attribute().declared_type().enumeration_items()


def test_without_the_library_the_page_says_so(town, as_, monkeypatch):
    monkeypatch.setattr(ifc_model, "find_spec", lambda name: None)
    page = as_("office").get(reverse("building-ifc", args=[town.hall.slug]), follow=True)
    assert "The library that writes IFC is not installed" in page.text and "Model as .ifc" not in page.text
