"""The page of an actuator circuit and of a detection line: its answers, what stands, its members and cables."""

from django.shortcuts import get_object_or_404, render

from inspections.overview import runs
from inspections.overview.tested import tested_of
from zones.design_check.checked import checked_panel
from zones.editing.pages import may_edit
from zones.models import ActuatorCircuit, DetectionLine
from zones.panels.run_answers import answers_of_circuit, answers_of_line, standing_of_run


def circuit_detail(request, pk):
    circuit = _run_of(request, ActuatorCircuit, pk)
    context = _context(request, circuit, circuit.panel.actuator_circuits, answers_of_circuit)
    return render(request, "inspections/overview/circuit_detail.html", {"circuit": circuit, **context})


def line_detail(request, pk):
    line = _run_of(request, DetectionLine, pk, "smoke_zone", "starts_at")
    context = _context(request, line, line.panel.detection_lines, answers_of_line)
    return render(request, "inspections/overview/line_detail.html", {"line": line, **context})


def _run_of(request, model, pk, *related):
    found = model.objects.visible_to(request.user)
    found = found.select_related("panel__building", "panel__position", "wiring_complete_by", *related)
    return get_object_or_404(found, pk=pk)


def _context(request, run, runs_of_panel, answers_of):
    panel, checked = run.panel, checked_panel(run.panel)
    tested = tested_of(panel.building, run.positions.in_use())
    members = list(runs.members_of(run))
    for position in members:
        position.tested = tested.by_position.get(position.pk)
    return {
        "run": run,
        "panel": panel,
        "building": panel.building,
        "answers": answers_of(checked, run),
        "tested": tested,
        "standing": standing_of_run(checked, run, user=request.user, back=request.path),
        "members": members,
        "cables": runs.cables_of(run),
        "may_edit": may_edit(request),
        **runs.neighbours_of(run, runs_of_panel),
    }
