"""Typed figures of one cable and its actuators as a circuit of engineering."""

from zones.calculators.forms.cables import conductor_of, laying_of
from zones.engineering import Actuator, ActuatorCircuit, CableRun, LoadModel

CABLE = "Cable"


def circuit_of(figures, *, name=CABLE, **options):
    """The cable as a circuit: one run, or as many as there are actuators along it.

    For how long actuators start counts where a calculator asks for it.
    """
    number = figures["actuators"]
    names = _names(number if figures["place"] == "even" else 1)
    at = names if len(names) > 1 else names * number
    actuators = tuple(
        Actuator(
            name=f"actuator {k}" if number > 1 else "the actuator",
            at=at[k - 1],
            rated_current_a=figures["rated_current_a"],
            starting_current_a=figures["starting_current_a"],
            starting_s=figures.get("starting_s"),
            rated_voltage_v=figures["rated_voltage_v"],
            minimum_voltage_v=figures["minimum_voltage_v"],
            lower_voltage_v=figures["lower_voltage_v"],
            lower_current_a=figures["lower_current_a"],
            load_model=LoadModel(figures["load"] or LoadModel.CONSTANT_CURRENT),
        )
        for k in range(1, number + 1)
    )
    return ActuatorCircuit(name, _runs(names, figures), actuators, fire_minutes=figures["fire_minutes"], **options)


def _names(sections):
    return [f"section {k}" for k in range(1, sections + 1)] if sections > 1 else [CABLE]


def _runs(names, figures):
    length_m, hot_m = figures["length_m"], figures["hot_length_m"]
    conductor, laying = conductor_of(figures["size"], figures["conductor_class"]), laying_of(figures)
    if hot_m is not None and length_m is not None:
        CableRun(CABLE, length_m, conductor, hot_length_m=hot_m)  # refuses more metres in the fire than there are
    runs = []
    for k, name in enumerate(names):
        each_m = None if length_m is None else length_m / len(names)
        # What burns is taken from the panel on: there the cable carries most.
        hot_here_m = hot_m if hot_m is None or each_m is None else min(each_m, max(0.0, hot_m - k * each_m))
        fed_from = names[k - 1] if k else None
        cores = figures["cores_per_pole"] or 1
        runs.append(CableRun(name, each_m, conductor, fed_from, hot_here_m, cores_per_pole=cores, laying=laying))
    return tuple(runs)
