"""Two cores exchanged at a panel, box or device, from the row of one of them."""

from django.contrib import messages
from django.shortcuts import get_object_or_404
from django.urls import reverse

from zones.editing.pages import ZonesFormPage
from zones.models import Terminal
from zones.wiring.exchange import exchange_cores, exchangeable
from zones.wiring.forms.exchange import ExchangeForm
from zones.wiring.terminals import full_name, use_of


class CoreExchangeView(ZonesFormPage):
    form_class = ExchangeForm
    verb = "Exchange the two cores"
    lead_line = (
        "Both ends change places in one act, and ticks of the two terminals are taken back. The same act takes it back."
    )

    def form_arguments(self):
        terminals = Terminal.objects.visible_to(self.request.user)
        terminals = terminals.select_related("building", "panel__position", "position")
        self.terminal = get_object_or_404(terminals, pk=self.kwargs["pk"])
        end = use_of(self.terminal)
        self.core = end.core if end else None
        return {"cores": exchangeable(self.terminal) if end else [], "core": self.core}

    def get_heading(self, record):
        return f"Exchange {self.core or 'a core'} on {full_name(self.terminal)}"

    def get_trail(self, record):
        return [self.terminal.building, self.terminal.panel or self.terminal.position]

    def get_back_url(self, record):
        return reverse("terminal-update", args=[self.terminal.pk])

    def success_url(self, record):
        return self.get_back_url(record)

    def act(self, form):
        key = int(form.cleaned_data["other"].partition("-")[0])
        self.change = exchange_cores(terminal=self.terminal, other=Terminal.objects.get(pk=key))
        return self.terminal

    def announce(self, record):
        messages.success(self.request, self.change.said)
