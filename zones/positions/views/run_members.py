"""Many devices put on an output, line or data link at once: ticked, shown, kept by a second button."""

from django.contrib import messages
from django.shortcuts import get_object_or_404

from zones.editing.pages import ZonesFormPage
from zones.engineering.findings import counted
from zones.models import ActuatorCircuit, DataLink, DetectionLine
from zones.positions.forms.run_members import RunMembersForm
from zones.positions.run_members import may_be_put_on, put_on_run, run_of


class RunMembersView(ZonesFormPage):
    """Subclasses give the model of the run."""

    model = None
    form_class = RunMembersForm
    template_name = "zones/positions/run_members.html"
    verb = "Show what would change"
    moves = ()

    def get_record(self):
        runs = self.model.objects.visible_to(self.request.user).select_related("panel__building", "panel__position")
        self.run = get_object_or_404(runs, pk=self.kwargs["pk"])
        return None

    def form_arguments(self):
        return {"devices": may_be_put_on(self.run)}

    def get_heading(self, record):
        return f"Put devices on {self.run}"

    def get_trail(self, record):
        return [self.run.panel.building, self.run.panel]

    def get_back_url(self, record):
        return self.run.get_absolute_url()

    def success_url(self, record):
        return self.run.get_absolute_url()

    def act(self, form):
        self.moves = put_on_run(run=self.run, devices=form.cleaned_data["devices"])
        # Shown, then rolled back; kept by the second button, where it is what was shown.
        is_agreed = "keep" in self.request.POST and self.request.POST.get("shown") == self.shown
        return self.run if is_agreed else None

    @property
    def shown(self):
        """What the moves are, in short: ticks changed after they were shown are shown first."""
        return ",".join(f"{move.position.pk}:{move.before or ''}:{move.order}" for move in self.moves)

    def announce(self, record):
        messages.success(self.request, f"{counted(len(self.moves), 'device')} put on {self.run}.")

    def get_context(self, form):
        devices = list(form.fields["devices"].queryset)
        ticked = form.ticked
        rows = [(one, run_of(one), str(one.pk) in ticked) for one in devices]
        return {
            **super().get_context(form),
            "run": self.run,
            "rows": rows,
            "moves": self.moves,
            "preview": self.moves,
            "shown": self.shown,
        }


class CircuitMembersView(RunMembersView):
    model = ActuatorCircuit


class LineMembersView(RunMembersView):
    model = DetectionLine


class DataLinkMembersView(RunMembersView):
    model = DataLink
