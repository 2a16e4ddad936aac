"""Cables and what protects them, as engineering's plain data (see parts.py)."""

from functools import lru_cache

from zones import engineering
from zones.design_check.rows import CableRow
from zones.design_check.stored_figures import first_known, known, not_used, of_model
from zones.engineering.cable_ratings import NOT_KNOWN, Insulation, Laying, Method
from zones.engineering.copies import renamed
from zones.engineering.fuses import DEVICE_KINDS, ELECTRONIC, ProtectiveDevice
from zones.engineering.quantities import QuantityError


def conductor_of(refused, cable):
    """The conductor of a cable, or None where size or class is not known."""
    try:
        return _conductor(cable.awg, cable.area_mm2, cable.conductor_class, cable.is_tinned)
    except QuantityError as error:
        refused.append(not_used(cable.tag, error.in_words()))
        return None


@lru_cache(maxsize=256)
def _conductor(awg, area_mm2, conductor_class, is_tinned):
    number = int(conductor_class) if conductor_class else None
    if awg:
        return engineering.Conductor(awg=awg, conductor_class=number, tinned=bool(is_tinned))
    if area_mm2 is None or number is None:
        return None
    return engineering.Conductor(float(area_mm2), number, bool(is_tinned))


def run_of(refused, cable, tags):
    """A cable as a run; `tags` are those of the runs of its circuit by key."""
    # A run that goes on from a cable of no or another circuit hangs nowhere, and the check says so.
    fed_from = None if cable.upstream_id is None else tags.get(cable.upstream_id, f"cable {cable.upstream_id}")
    # Of what is in the fire the length of the run itself is the limit.
    alike = _run_alike(cable.figures) if cable.hot_length_m is None else None
    if alike is None:
        return _run(refused, cable, fed_from)
    length_m = known(refused, cable.tag, "length_m", cable.length_m)
    return renamed(alike, name=cable.tag, length_m=length_m, fed_from=fed_from)


@lru_cache(maxsize=1024)  # few kinds of cable in a portfolio
def _run_alike(figures):
    """The run of these figures, without name and length; None where one of them cannot be, which is told with both."""
    refused = []
    try:
        made = _run(refused, CableRow.of_figures(figures), None)
    except QuantityError:
        return None
    made.what  # noqa: B018 (copies have it then, as what follows)
    if made.conductor:
        made.ratings_a  # noqa: B018
    return None if refused else made


def _run(refused, cable, fed_from):
    return engineering.CableRun(
        name=cable.tag,
        length_m=known(refused, cable.tag, "length_m", cable.length_m),
        conductor=conductor_of(refused, cable),
        fed_from=fed_from,
        hot_length_m=known(refused, cable.tag, "hot_length_m", cable.hot_length_m),
        cores_per_pole=cable.cores_per_pole or 1,
        laying=_laying(cable.insulation, cable.method, cable.grouped_circuits, cable.ambient_c),
        fire_class=cable.fire_class,
        integrity_minutes=known(refused, cable.tag, "integrity_min", cable.integrity_min),
        fixing_minutes=known(refused, cable.tag, "fixing_min", cable.fixing_min),
        fire_text=cable.fire_rating,
    )


# The database holds their ranges; few differ in a portfolio.
@lru_cache(maxsize=1024)
def _laying(insulation, method, grouped, ambient_c):
    if not insulation and not method and grouped is None and ambient_c is None:
        return NOT_KNOWN
    return Laying(
        Insulation(insulation) if insulation else None,
        Method(method) if method else None,
        grouped,
        None if ambient_c is None else float(ambient_c),
    )


def device_of_output(refused, circuit, model, name, limit_a):
    """What protects an output: by the panel's data sheet, its rating by the circuit; None where nothing is recorded.

    An electronic limit holds what the output gives, unless it has a rating of its own.
    """
    kind = DEVICE_KINDS.get(getattr(model, "output_device_kind", ""))
    ratings = ("device_a", circuit.device_a), ("output_device_a", getattr(model, "output_device_a", None))
    rated_a = first_known(refused, name, *ratings)
    if kind is None and rated_a is None:
        return None
    return ProtectiveDevice(
        kind,
        limit_a if rated_a is None and kind is ELECTRONIC else rated_a,
        of_model(refused, name, model, "output_trip_a"),
        of_model(refused, name, model, "output_trip_s"),
    )
