"""Records of data links and inputs → plain data; a part of reading a panel's wiring (`records.py`)."""

from collections import defaultdict

from django.db.models import OuterRef, Subquery

from zones.engineering.wiring import wired_panel as plain
from zones.models import DataLink, EndPlace, Fitting, InputDevice, InputPort, LinkEntry


def terminal_key(pk):
    return f"t{pk}"


def device_key(position_pk):
    return f"d{position_pk}"


def grouped(records, name):
    found = defaultdict(list)
    for record in records:
        found[getattr(record, name)].append(record)
    return found


class Ports:
    """Data links with the lists that panels give, and inputs with their devices; four queries."""

    def __init__(self, of_panels):
        self.links = list(DataLink.objects.filter(of_panels).order_by("number"))
        self.inputs = list(InputPort.objects.filter(of_panels).select_related("smoke_zone").order_by("number"))
        fitted = Fitting.objects.open().filter(position=OuterRef("position"))
        entries = LinkEntry.objects.filter(data_link__in=[link.pk for link in self.links])
        entries = entries.select_related("zone_assigned").annotate(
            fitted_serial=Subquery(fitted.values("unit__serial")[:1])
        )
        self.entries = grouped(entries.order_by("place"), "data_link_id")
        inputs = [one.pk for one in self.inputs]
        self.devices = list(InputDevice.objects.filter(input_port__in=inputs).order_by("order", "pk"))


def input_of(one):
    monitored = one.is_monitored and one.end_place != EndPlace.NONE_NEEDED
    return plain.WiredInput(
        one.number,
        one.function,
        monitored,
        one.end_of_line_ohm and float(one.end_of_line_ohm),
        one.name,
        zone=one.smoke_zone.number if one.smoke_zone else None,
        ends_in_box=one.end_place == EndPlace.IN_BOX,
        is_complete=one.is_declared_complete,
    )


def data_link_of(link, entries):
    listed = (
        plain.ListedDevice(
            one.place,
            one.serial,
            one.number_given,
            one.zone_assigned.number if one.zone_assigned else None,
            device_key(one.position_id) if one.position_id else None,
            one.fitted_serial or "",
        )
        for one in entries
    )
    return plain.WiredLink(link.number, link.name, tuple(listed), is_complete=link.is_declared_complete)
