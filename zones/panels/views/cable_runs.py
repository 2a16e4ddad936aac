"""All cable runs of a circuit or line on one page, entered along its devices."""

from django.shortcuts import get_object_or_404

from zones.design_check.checked import checked_panel
from zones.editing.pages import ZonesFormPage
from zones.models import ActuatorCircuit, Cable, DetectionLine
from zones.models.kinds import DRIVES
from zones.panels.run_answers import resistance_of_line, standing_of_run, voltage_of_circuit
from zones.wiring.cable_runs import record_runs, runs_to_devices
from zones.wiring.forms.cable_runs import RunsForm


class RunsView(ZonesFormPage):
    """Subclasses give `model`, `word`, `letter` (for the tags of new runs), `with_fire` and `answer_of`."""

    model = None
    form_class = RunsForm
    template_name = "zones/panels/cable_runs.html"
    verb = "Save cable runs"
    saved_message = "Cable runs saved."
    lead_line = "One run to each device, in their order; a new run goes on from the device before."

    def get_record(self):
        owners = self.model.objects.visible_to(self.request.user).select_related("panel__building", "panel__position")
        self.owner = get_object_or_404(owners, pk=self.kwargs["pk"])
        return None

    def devices(self):
        return list(self.owner.positions.in_use().order_by("order_on_line", "tag_key"))

    def form_arguments(self):
        devices, runs = self.devices(), runs_to_devices(self.owner)
        return {"devices": devices, "runs": runs, "tags": self._tags(devices, runs), "with_fire": self.with_fire}

    def _tags(self, devices, runs):
        """Tags for new runs that no cable of the building has: "W1.2-3" is the third of circuit 2 of P1."""
        stem = f"W{self.owner.panel.tag.removeprefix('P')}.{self.letter}{self.owner.number}-"
        taken = set(
            Cable.objects.filter(building=self.owner.panel.building, tag__startswith=stem).values_list("tag", flat=True)
        )
        free = (
            f"{stem}{number}" for number in range(1, len(taken) + len(devices) + 2) if f"{stem}{number}" not in taken
        )
        return {position.pk: next(free) for position in devices if position.pk not in runs}

    def get_heading(self, record):
        return f"Cable runs of {self.owner}"

    def get_back_url(self, record):
        return self.owner.get_absolute_url()

    def success_url(self, record):
        return self.owner.get_absolute_url()

    def get_context(self, form):
        panel = self.owner.panel
        checked = checked_panel(panel)
        return {
            **super().get_context(form),
            "owner": self.owner,
            "panel": panel,
            "building": panel.building,
            "word": self.word,
            "owner_in_panel": f"{self.word.lower()} {self.owner.number}",
            "boxes": self.owner.cables.filter(feeds=None).select_related("upstream").order_by("tag"),
            # As stored: what is being typed is judged once it is saved.
            "answer": self.answer_of(checked),
            "standing": standing_of_run(checked, self.owner, user=self.request.user, back=self.request.path),
        }

    def act(self, form):
        record_runs(owner=self.owner, rows=list(form.typed_rows()), **form.common())
        return self.owner


class CircuitRunsView(RunsView):
    model = ActuatorCircuit
    word = "Circuit"
    with_fire = True
    letter = ""

    def devices(self):
        return [each for each in super().devices() if each.kind in DRIVES]

    def answer_of(self, checked):
        return voltage_of_circuit(checked, self.owner)


class LineRunsView(RunsView):
    model = DetectionLine
    word = "Line"
    with_fire = False
    letter = "L"

    def answer_of(self, checked):
        return resistance_of_line(checked, self.owner)
