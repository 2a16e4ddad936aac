"""What a panel's page shows of what hangs on it; each function reads the database a fixed number of times."""

from dataclasses import dataclass

from django.db.models import Count, Max, Prefetch, Q

from zones.engineering.kind_facts import Run
from zones.models import InputDevice, LinkEntry, Position
from zones.models.kinds import DRIVES, facts_of, kinds_where
from zones.panels.tag_ranges import tag_ranges

LINE_KINDS = kinds_where(lambda facts: facts.belongs_on is Run.LINE)


@dataclass(frozen=True)
class Figure:
    """A figure that a check needs: its value, unit and where it comes from; `value` None where it is missing."""

    label: str
    value: object
    unit: str
    source: str = ""


def panel_of_page(panels):
    """Panels with what the head of a panel's page shows."""
    position = Position.objects.select_related("product_model__maker").with_open_fitting()
    return panels.select_related("building").prefetch_related(Prefetch("position", position))


def figures_of(panel):
    """The panel's figures: as entered, else from the data sheet of its model, else missing."""
    model = panel.position.product_model

    def figure(label, unit, own, of_model):
        if own is not None:
            return Figure(label, own, unit, "as entered")
        value = getattr(model, of_model, None) if of_model else None
        return Figure(label, value, unit, "data sheet" if value is not None else "")

    return [
        figure("Rated voltage", "V", None, "rated_voltage_v"),
        figure("Supply limit", "A", panel.supply_limit_a, "supply_limit_a"),
        figure("Limit of one output", "A", None, "output_limit_a"),
        figure("Quiescent current", "A", panel.quiescent_current_a, "standby_current_a"),
        figure("In alarm, without motors", "A", panel.alarm_current_a, "alarm_current_a"),
        figure("Drop inside the panel", "V", panel.own_voltage_drop_v, "own_voltage_drop_v"),
        figure("Charger current", "A", panel.charger_current_a, "charger_current_a"),
        figure("Fuse of the battery", "A", panel.battery_fuse_a, "battery_fuse_a"),
        figure("Coldest at the battery", "°C", panel.battery_coldest_c, ""),
        figure("Usually at the battery", "°C", panel.battery_usual_c, ""),
    ]


def count_of_actuators(expected, found):
    """State and words for the number of actuators in the register against the number set at the panel."""
    if expected is None:
        return "unknown", "expected number missing"
    if found < expected:
        return "missing", f"short by {expected - found}"
    if found > expected:
        return "open", f"over by {found - expected}"
    return "in_order", "as expected"


def circuits_of(panel):
    """Circuits with their actuators (`devices`) and how many were found against expected."""
    devices = Position.objects.in_use().order_by("order_on_line", "tag_key")
    circuits = panel.actuator_circuits.prefetch_related(Prefetch("positions", devices, to_attr="devices")).order_by(
        "number"
    )
    for circuit in circuits:
        circuit.found = sum(device.kind in DRIVES for device in circuit.devices)
        circuit.count_key, circuit.count_word = count_of_actuators(circuit.expected_actuators, circuit.found)
    return circuits


def lines_of(panel):
    """Lines with their devices in the order of the line."""
    devices = Position.objects.in_use().order_by("order_on_line", "tag_key")
    return (
        panel.detection_lines.select_related("smoke_zone", "starts_at")
        .prefetch_related(Prefetch("positions", devices, to_attr="devices"))
        .order_by("number")
    )


def with_listed(data_links):
    """Data links by number, with the call points that the panel lists (`listed`), in their order."""
    entries = LinkEntry.objects.select_related("zone_assigned", "position").order_by("place")
    return data_links.prefetch_related(Prefetch("entries", entries, to_attr="listed")).order_by("number")


def with_devices(inputs):
    """Inputs by number, with the devices wired to them (`wired`)."""
    wired = InputDevice.objects.select_related("position").order_by("order", "pk")
    related = inputs.select_related("starts_at", "smoke_zone", "vent_group__smoke_zone")
    return related.prefetch_related(Prefetch("wired_devices", wired, to_attr="wired")).order_by("number")


def data_links_of(panel):
    """Data links with their devices in order, and how many entries of the panel's list are confirmed."""
    devices = Position.objects.in_use().order_by("order_on_line", "tag_key")
    return (
        panel.data_links.prefetch_related(Prefetch("positions", devices, to_attr="devices"))
        .annotate(entries_count=Count("entries"), confirmed_count=Count("entries__position"))
        .order_by("number")
    )


def runs_of(panel, checks):
    """Circuits, lines, data links and inputs with their devices (`devices`, in `ranges`) and what `checks` says."""
    runs = {
        "circuits": circuits_of(panel),
        "lines": lines_of(panel),
        "data_links": data_links_of(panel),
        "inputs": with_devices(panel.input_ports),
    }
    for run in (one for records in runs.values() for one in records):
        devices = [wired.position for wired in run.wired] if hasattr(run, "wired") else run.devices
        run.ranges, run.check = tag_ranges(devices), checks.get(run)
    return runs


def other_devices_of(panel):
    """Devices of the panel that are on no circuit, line, data link or input; `lacks` says which should be on one."""
    loose = panel.positions.in_use().on_no_run().exclude(control_panel=panel)
    loose = list(loose.select_related("smoke_zone").order_by("tag_key"))
    for position in loose:
        position.lacks = lacking_of(position.kind)
    return loose


def lacking_of_devices(positions):
    """What devices lack, each with the tags of those that lack it."""
    lacking = {}
    for position in positions:
        if position.lacks:
            lacking.setdefault(position.lacks, []).append(position)
    return {words: tag_ranges(of_these) for words, of_these in lacking.items()}


def counts_of_zone(zone):
    """How many actuators a zone has, how many positions have a result of a finished visit, and when the last was seen.

    Read through the relation: visits stand in an app above this one.
    """
    tested = Q(test_points__visit__state="finished", test_points__latest_result__outcome__in=("pass", "remark", "fail"))
    return zone.positions.in_use().aggregate(
        actuators=Count("pk", filter=Q(kind__in=DRIVES), distinct=True),
        tested=Count("pk", filter=tested, distinct=True),
        last=Max("test_points__latest_result__seen_at", filter=tested),
    )


def lacking_of(kind):
    """What a device of this kind on no circuit, line or data link lacks: switches and sensors lack nothing."""
    run = facts_of(kind).belongs_on
    return f"no {run}" if run else ""
