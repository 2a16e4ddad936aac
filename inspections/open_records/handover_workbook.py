"""Lists for the building's operation, in sheets and columns of COBie 2.4.

Source of sheets and columns: NBIMS-US V3, 4.2 "Construction Operation Building information exchange (COBie) Version
2.4", whose columns BS 1192-4:2014 takes over; what is not known stands as "n/a", as it says there. A row is referred to
by its name. Neither the firm's people nor the e-mails with which they log in stand in it.
"""

from collections import defaultdict

from django.utils.text import slugify

from inspections.models import Certificate, Protocol, VisitKind
from inspections.models.protocols import Interval
from inspections.open_records.writing import plain
from sites_registry.models import Firm, Instrument
from sites_registry.spreadsheets import Sheet, workbook_of
from zones.models import Attachment, Fitting

NOT_KNOWN = "n/a"
OUR_SYSTEM = "Smoke control register"
_MADE = ("CreatedBy", "CreatedOn")
_FROM = ("ExtSystem", "ExtObject", "ExtIdentifier")
_WARRANTY = tuple(
    f"Warranty{word}" for word in ("GuarantorParts", "DurationParts", "GuarantorLabor", "DurationLabor", "DurationUnit")
)
COLUMNS = {
    "Contact": (
        *("Email", *_MADE, "Category", "Company", "Phone", "ExternalSystem", "ExternalObject", "ExternalIdentifier"),
        *("Department", "OrganizationCode", "GivenName", "FamilyName", "Street", "PostalBox", "Town", "StateRegion"),
        *("PostalCode", "Country"),
    ),
    "Facility": (
        *("Name", *_MADE, "Category", "ProjectName", "SiteName", "LinearUnits", "AreaUnits", "VolumeUnits"),
        *("CurrencyUnit", "AreaMeasurement", "ExternalSystem", "ExternalProjectObject", "ExternalProjectIdentifier"),
        *("ExternalSiteObject", "ExternalSiteIdentifier", "ExternalFacilityObject", "ExternalFacilityIdentifier"),
        *("Description", "ProjectDescription", "SiteDescription", "Phase"),
    ),
    "Floor": ("Name", *_MADE, "Category", *_FROM, "Description", "Elevation", "Height"),
    "Space": (
        *("Name", *_MADE, "Category", "FloorName", "Description", *_FROM, "RoomTag", "UsableHeight", "GrossArea"),
        "NetArea",
    ),
    "Zone": ("Name", *_MADE, "Category", "SpaceNames", *_FROM, "Description"),
    "Type": (
        *("Name", *_MADE, "Category", "Description", "AssetType", "Manufacturer", "ModelNumber", *_WARRANTY, *_FROM),
        *("ReplacementCost", "ExpectedLife", "DurationUnit", "NominalLength", "NominalWidth", "NominalHeight"),
        *("ModelReference", "Shape", "Size", "Color", "Finish", "Grade", "Material", "Constituents", "Features"),
        *("AccessibilityPerformance", "CodePerformance", "SustainabilityPerformance"),
    ),
    "Component": (
        *("Name", *_MADE, "TypeName", "Space", "Description", *_FROM, "SerialNumber", "InstallationDate"),
        *("WarrantyStartDate", "TagNumber", "BarCode", "AssetIdentifier"),
    ),
    "System": ("Name", *_MADE, "Category", "ComponentNames", *_FROM, "Description"),
    "Resource": ("Name", *_MADE, "Category", *_FROM, "Description"),
    "Job": (
        *("Name", *_MADE, "Category", "Status", "TypeName", "Description", "Duration", "DurationUnit", "Start"),
        *("TaskStartUnit", "Frequency", "FrequencyUnit", *_FROM, "TaskNumber", "Priors", "ResourceNames"),
    ),
    "Document": (
        *("Name", *_MADE, "Category", "ApprovalBy", "Stage", "SheetName", "RowName", "Directory", "File", *_FROM),
        *("Description", "Reference"),
    ),
}
# How often a check is made, as number and unit of the standard's list of units of duration.
FREQUENCY = {
    Interval.WEEKLY: (1, "week"),
    Interval.MONTHLY: (1, "month"),
    Interval.QUARTERLY: (3, "month"),
    Interval.HALF_YEARLY: (6, "month"),
    Interval.YEARLY: (1, "year"),
    Interval.TWO_YEARLY: (2, "year"),
    Interval.FIVE_YEARLY: (5, "year"),
}


def handover_workbook(building, now):
    """The bytes of the workbook; `now` is when it is written, where a record has no moment of its own."""
    rows = _rows_of(building, now)
    return workbook_of(
        *(
            Sheet(
                title=name,
                headings=columns,
                rows=[[row.get(column, NOT_KNOWN) for column in columns] for row in rows[name]],
                freeze="B2",
            )
            for name, columns in COLUMNS.items()
        )
    )


def _rows_of(building, now):
    firm = Firm.current()
    made = {"CreatedBy": firm.email or _address_of(firm.name), "CreatedOn": plain(now)[:19]}
    positions = list(
        building.positions.filter(retired_on=None).select_related(
            "product_model__maker", "smoke_zone", "panel__position"
        )
    )
    fitted = {
        one.position_id: one
        for one in Fitting.objects.open().filter(position__in=positions).select_related("unit__product_model__maker")
    }
    models = {}
    for position in positions:
        model = fitted[position.pk].unit.product_model if position.pk in fitted else position.product_model
        models[position.pk] = model
    types = {model.pk: model for model in models.values() if model}
    rows = {
        "Contact": _contacts(building, firm, types.values()),
        "Facility": [_facility(building)],
        "Floor": [{"Name": storey, "Category": "Floor"} for storey in _in_order(map(_storey, positions))],
        "Space": _spaces(positions),
        "Zone": _zones(building, positions),
        "Type": [_type(model) for model in types.values()],
        "Component": [_component(one, models[one.pk], fitted.get(one.pk)) for one in positions],
        "System": _systems(building, positions),
        "Resource": _resources(building),
        "Job": _jobs(types.values()),
        "Document": _documents(building),
    }
    return {name: [made | row for row in found] for name, found in rows.items()}


def _address_of(name):
    """Stands for an e-mail that is not known, by which the standard names a contact (RFC 2606: reaches nobody)."""
    return f"{slugify(name) or 'contact'}@not-known.invalid"


def _from(kind, record):
    return {"ExtSystem": OUR_SYSTEM, "ExtObject": kind, "ExtIdentifier": str(record.pk)}


def _known(**values):
    """Without what is empty, which then reads n/a."""
    return {name: value for name, value in values.items() if value not in ("", None)}


def _in_order(names):
    return list(dict.fromkeys(names))


def _storey(position):
    return position.storey or NOT_KNOWN


def _space(position):
    return " · ".join(filter(None, (position.storey, position.room))) or NOT_KNOWN


def _called(model):
    return f"{model.maker} {model.name}"


def _contacts(building, firm, models):
    client = building.client
    named = [
        (firm.email, firm.name, "contractor", firm.phone, firm.address),
        (client.email, client.name, "client", client.phone, client.address),
        *(("", name, "manufacturer", "", "") for name in _in_order(model.maker.name for model in models)),
    ]
    rows = {}
    for email, name, category, phone, street in named:
        row = {"Email": email or _address_of(name), "Category": category, "Company": name}
        rows.setdefault(row["Email"], row | _known(Phone=phone, Street=street))
    return list(rows.values())


def _facility(building):
    return {
        "Name": building.name,
        "Category": building.get_use_display(),
        "ProjectName": "Natural smoke control",
        "SiteName": building.name,
        "LinearUnits": "millimeters",
        "AreaUnits": "squaremeters",
        "VolumeUnits": "cubicmeters",
        "ExternalSystem": OUR_SYSTEM,
        "ExternalFacilityObject": "Building",
        "ExternalFacilityIdentifier": building.slug,
    } | _known(SiteDescription=building.address)


def _spaces(positions):
    first = {_space(position): position for position in reversed(positions)}
    return [
        {"Name": name, "Category": "Space", "FloorName": _storey(first[name])} | _known(RoomTag=first[name].room)
        for name in _in_order(map(_space, positions))
    ]


def _zones(building, positions):
    spaces = defaultdict(list)
    for position in positions:
        spaces[position.smoke_zone_id].append(_space(position))
    return [
        {
            "Name": f"Smoke zone {zone.number} {zone.name}".strip(),
            "Category": "Fire Alarm Zone",  # of the standard's list, the nearest to a smoke zone
            "SpaceNames": ",".join(_in_order(spaces[zone.pk])) or NOT_KNOWN,
        }
        | _from("SmokeZone", zone)
        | _known(Description=zone.extent)
        for zone in building.smoke_zones.all()
    ]


def _type(model):
    return {
        "Name": _called(model),
        "Category": model.get_kind_display(),
        "Description": model.get_kind_display(),
        "AssetType": "Fixed",
        "Manufacturer": _address_of(model.maker.name),
        "ModelNumber": model.name,
        **_from("ProductModel", model),
        **_known(CodePerformance=model.declaration_reference),
    }


def _component(position, model, fitting):
    row = {
        "Name": position.tag,
        "TypeName": _called(model) if model else NOT_KNOWN,
        "Space": _space(position),
        "Description": " · ".join(filter(None, (position.get_kind_display(), position.place))),
        "TagNumber": position.tag,
        **_from("Position", position),
    }
    if fitting:
        row |= {"SerialNumber": fitting.unit.serial, "InstallationDate": plain(fitting.fitted_on)}
    return row


def _systems(building, positions):
    of_panel = defaultdict(list)
    for position in positions:
        if position.panel_id:
            of_panel[position.panel_id].append(position.tag)
    return [
        {
            "Name": f"Smoke control {panel.tag}",
            "Category": "Smoke control",
            "ComponentNames": ",".join([panel.tag, *of_panel[panel.pk]]),
            "Description": "Control panel and what it releases, moves and monitors",
        }
        | _from("ControlPanel", panel)
        for panel in building.panels.select_related("position")
    ]


def _resources(building):
    used = Instrument.objects.filter(uses__visit__building=building).distinct()
    return [
        {"Name": one.own_number, "Category": "Tools", "Description": str(one), **_from("Instrument", one)}
        for one in used
    ]


def _jobs(models):
    """What the protocol in force asks of each type that is fitted."""
    protocol = Protocol.objects.in_force().filter(kind=VisitKind.INSPECTION).first()
    checks = defaultdict(list)
    for check in protocol.checks.all() if protocol else ():
        checks[check.device_kind].append(check)
    return [_job(model, check, number) for model in models for number, check in enumerate(checks[model.kind], 1)]


def _job(model, check, number):
    frequency, unit = FREQUENCY[check.interval]
    return {
        "Name": f"{_called(model)}: {check.title}",
        "Category": "Inspection",
        "Status": "Not Yet Started",
        "TypeName": _called(model),
        "Description": check.expected,
        "Frequency": frequency,
        "FrequencyUnit": unit,
        "TaskNumber": str(number),
        **_from("ProtocolCheck", check),
    }


def _documents(building):
    facility = {"SheetName": "Facility", "RowName": building.name, "Stage": "As Built"}
    certificates = Certificate.objects.filter(building=building).defer("statement")
    attachments = Attachment.objects.filter(building=building, withdrawn_at=None)
    return [
        {
            "Name": f"{one.get_kind_display().capitalize()} {one.number}",
            "Category": "Certificates",
            "File": f"{one.number}.pdf",
            "Description": one.get_state_display(),
            "CreatedOn": plain(one.issued_at)[:19],
            **facility,
            **_from("Certificate", one),
        }
        for one in certificates
    ] + [
        {
            "Name": one.title or one.file_name,
            "Category": one.get_kind_display(),
            "File": one.file_name,
            "CreatedOn": plain(one.added_at)[:19],
            **facility,
            **_from("Attachment", one),
        }
        for one in attachments
    ]
