"""What is wrong with the protection of some outputs of the demo (see design_faults.py)."""

from inspections.demo.fault_making import circuit_of, panel_of, refit, save, variant


def outputs_not_described(building):
    """protection.device: a panel with fuses of a kind that nobody recorded."""
    panel = panel_of(building, "P1")
    silent = {"output_device_kind": "", "output_device_a": "10", "output_trip_a": None, "output_trip_s": None}
    refit(panel.position, variant(panel.position.product_model, "Example panel, outputs not described", **silent))


def fuses_on_long_cables(building):
    """protection.starting, protection.disconnection, protection.selectivity: fuses in place of electronic limits."""
    panel = panel_of(building, "P2")
    fused = {"output_device_kind": "blade", "output_trip_a": None, "output_trip_s": None, "supply_fault_a": "9"}
    model = variant(panel.position.product_model, "Example panel, fused outputs", output_device_a="5", **fused)
    refit(panel.position, model)
    for circuit in panel.actuator_circuits.all():
        motors_a = sum(one.product_model.rated_current_a for one in circuit.positions.select_related("product_model"))
        save(circuit, device_a=str(max(int(motors_a) + 1, 1)))
    for cable in circuit_of(building, "P2", 1).cables.all():
        save(cable, method="", grouped_circuits=None)


def warm_bunch(building):
    """cable.rating, protection.overload: bunched in a thermally insulated wall under a warm roof."""
    for cable in circuit_of(building, "P1", 1).cables.all():
        save(cable, insulation="thermoplastic", method="A2", grouped_circuits=16, ambient_c="55")
