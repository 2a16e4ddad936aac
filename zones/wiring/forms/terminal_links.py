"""What may be typed about links and ends of line between two terminals of one owner."""

from zones.editing.forms import ZonesModelForm
from zones.models import EndOfLinePart, Terminal, TerminalLink


class BetweenTerminalsForm(ZonesModelForm):
    """The first terminal is that of the page; the second is another one of the same panel or device."""

    fixed_fields = ("first",)

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        first = self.instance.first
        others = Terminal.objects.filter(panel=first.panel_id, position=first.position_id).exclude(pk=first.pk)
        self.fields["second"].queryset = others.order_by("order_key")
        self.fields["second"].label_from_instance = lambda one: f"{one} {one.function}".strip()


class TerminalLinkForm(BetweenTerminalsForm):
    sentences = {
        "terminal_link_unique": ("second", "{value} is linked to this terminal already. Choose another one."),
    }

    class Meta:
        model = TerminalLink
        fields = ["second", "is_internal"]
        labels = {"second": "Linked to"}
        help_texts = {"is_internal": "Not fitted by hand: it is part of the device."}


class EndOfLinePartForm(BetweenTerminalsForm):
    from_zero_fields = ("tolerance_percent",)
    sentences = {
        "end_of_line_part_tolerance_possible": ("tolerance_percent", "{value} is not possible: from 0 to 50 percent."),
    }

    class Meta:
        model = EndOfLinePart
        fields = ["second", "kind", "value_ohm", "tolerance_percent"]
        labels = {"second": "Other terminal"}
