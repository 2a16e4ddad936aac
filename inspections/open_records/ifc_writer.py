"""Write a building as IFC 4 (ISO 16739-1). Runs as a program of its own: plan as JSON in, file out.

It imports nothing of the register: ifcopenshell is large and is loaded here alone. `--validate` judges a file by the
schema and its rules, with the library's own validator.
"""

import json
import sys
import uuid

NAMESPACE = uuid.UUID("8f9a1c62-6a53-4f0e-9b0e-2f6c3a1d7e54")


class Model:
    """An IFC file under way; `guid` gives the same record the same GlobalId each time it is written."""

    def __init__(self, origin):
        import ifcopenshell
        import ifcopenshell.guid

        self.file, self.origin, self._guid = ifcopenshell.file(schema="IFC4"), origin, ifcopenshell.guid

    def guid(self, *names):
        told = uuid.uuid5(NAMESPACE, "/".join((self.origin, *map(str, names))))
        return self._guid.compress(told.hex)

    def add(self, entity, key, **attributes):
        return self.file.create_entity(entity, GlobalId=self.guid(entity, *key), **attributes)

    def relate(self, entity, key, **attributes):
        return self.add(entity, key, **attributes)

    def properties(self, name, key, element, values):
        told = [
            self.file.create_entity(
                "IfcPropertySingleValue", Name=label, NominalValue=self.file.create_entity("IfcLabel", text[:255])
            )
            for label, text in values.items()
            if text
        ]
        if told:
            pset = self.add("IfcPropertySet", (name, *key), Name=name, HasProperties=told)
            self.add(
                "IfcRelDefinesByProperties",
                (name, *key),
                RelatedObjects=[element],
                RelatingPropertyDefinition=pset,
            )


def written(plan):
    """The text of the file of a plan, which `ifc_model.plan_of` makes."""
    model = Model(plan["origin"])
    building = _spatial(model, plan)
    storeys = _storeys(model, plan, building)
    spaces = _spaces(model, plan, storeys)
    elements = _elements(model, plan, storeys)
    _groups(model, plan, spaces, elements)
    return model.file.to_string()


def _spatial(model, plan):
    file = model.file
    units = [
        file.create_entity("IfcSIUnit", UnitType="LENGTHUNIT", Name="METRE"),
        file.create_entity("IfcSIUnit", UnitType="AREAUNIT", Name="SQUARE_METRE"),
    ]
    zero = file.create_entity("IfcCartesianPoint", (0.0, 0.0, 0.0))
    context = file.create_entity(
        "IfcGeometricRepresentationContext",
        ContextType="Model",
        CoordinateSpaceDimension=3,
        WorldCoordinateSystem=file.create_entity("IfcAxis2Placement3D", Location=zero),
    )
    project = model.add(
        "IfcProject",
        ("project",),
        Name=plan["building"],
        RepresentationContexts=[context],
        UnitsInContext=file.create_entity("IfcUnitAssignment", units),
    )
    site = model.add("IfcSite", ("site",), Name=plan["building"])
    building = model.add("IfcBuilding", ("building",), Name=plan["building"])
    _aggregate(model, project, [site])
    _aggregate(model, site, [building])
    return building


def _aggregate(model, whole, parts):
    if parts:
        model.relate("IfcRelAggregates", (whole.GlobalId,), RelatingObject=whole, RelatedObjects=parts)


def _storeys(model, plan, building):
    storeys = {name: model.add("IfcBuildingStorey", (name,), Name=name or "not known") for name in plan["storeys"]}
    _aggregate(model, building, list(storeys.values()))
    return storeys


def _spaces(model, plan, storeys):
    spaces = {}
    for storey, names in plan["spaces"].items():
        of_storey = [model.add("IfcSpace", (storey, name), Name=name, PredefinedType="SPACE") for name in names]
        spaces |= {(storey, one.Name): one for one in of_storey}
        _aggregate(model, storeys[storey], of_storey)
    return spaces


def _elements(model, plan, storeys):
    elements, contained = {}, {}
    for one in plan["elements"]:
        key = (one["kind_of_record"], one["key"])
        element = model.add(
            one["entity"],
            key,
            Name=one["tag"],
            ObjectType=one["kind"],
            Tag=one["tag"],
            PredefinedType=one["type"],
        )
        for name, values in one["properties"].items():
            model.properties(name, key, element, values)
        elements[one["tag"]] = element
        contained.setdefault(one["storey"], []).append(element)
    for storey, inside in contained.items():
        model.relate(
            "IfcRelContainedInSpatialStructure",
            (storey,),
            RelatedElements=inside,
            RelatingStructure=storeys[storey],
        )
    return elements


def _groups(model, plan, spaces, elements):
    """Smoke zones group spaces, as the standard has it; what is of one panel is a distribution system."""
    for zone in plan["zones"]:
        group = model.add("IfcZone", (zone["key"],), Name=zone["name"], ObjectType="smoke zone")
        _assign(model, group, [spaces[tuple(one)] for one in zone["spaces"]])
    for system in plan["systems"]:
        group = model.add(
            "IfcDistributionSystem", (system["key"],), Name=system["name"], PredefinedType="FIREPROTECTION"
        )
        _assign(model, group, [elements[tag] for tag in system["tags"]])


def _assign(model, group, members):
    if members:
        model.relate("IfcRelAssignsToGroup", (group.GlobalId,), RelatedObjects=members, RelatingGroup=group)


def faults_of(text):
    """What the library's validator finds, by schema and its rules (EXPRESS)."""
    import ifcopenshell
    import ifcopenshell.validate

    log = ifcopenshell.validate.json_logger()
    ifcopenshell.validate.validate(ifcopenshell.file.from_string(text), log, express_rules=True)
    return [str(one.get("message", one)) for one in log.statements]


if __name__ == "__main__":
    sys.stdout.reconfigure(encoding="utf-8")
    told = sys.stdin.buffer.read().decode()
    if "--validate" in sys.argv:
        json.dump(faults_of(told), sys.stdout)
    else:
        sys.stdout.write(written(json.loads(told)))
