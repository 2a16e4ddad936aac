"""What may be typed about a panel, its battery sets and its settings."""

from django import forms
from django.utils import timezone

from zones.editing.forms import ZonesModelForm, past_or_today, show_figures_of_model
from zones.models import BatterySet, ControlPanel, DeviceKind, PanelSetting, Position, ProductModel
from zones.models.panels import PANEL_FIGURES_FROM_ZERO
from zones.panels.edits import POSITION_FIELDS

ON_PANEL = (
    "supply_limit_a",
    "quiescent_current_a",
    "alarm_current_a",
    "own_voltage_drop_v",
    "charger_current_a",
    "charger_inhibited",
    "operation",
    "gap_s",
    "stagger_s",
    "battery_fuse_a",
    "battery_coldest_c",
    "battery_usual_c",
    "settings_revision",
    "mains_feed",
    "earth",
    "mains_guard",
    "access_code_changed",
    "after_reset",
)
OF_THE_MODEL = {  # a figure of the panel → that of its model, which stands where the panel has none
    "supply_limit_a": "supply_limit_a",
    "quiescent_current_a": "standby_current_a",
    "alarm_current_a": "alarm_current_a",
    "own_voltage_drop_v": "own_voltage_drop_v",
    "charger_current_a": "charger_current_a",
    "battery_fuse_a": "battery_fuse_a",
}
BATTERY_OF_THE_MODEL = {
    "capacity_ah": "capacity_ah",
    "discharge_limit_a": "discharge_limit_a",
    "design_life_years": "service_life_years",
}
GROUPS = (
    (
        "Supply",
        (
            "supply_limit_a",
            "own_voltage_drop_v",
            "quiescent_current_a",
            "alarm_current_a",
            "operation",
            "gap_s",
            "stagger_s",
        ),
    ),
    (
        "Charger and place of the battery",
        ("charger_current_a", "charger_inhibited", "battery_fuse_a", "battery_coldest_c", "battery_usual_c"),
    ),
    ("Particulars", ("settings_revision", "after_reset", "mains_feed", "earth", "mains_guard", "access_code_changed")),
)
LEAVE_EMPTY = "Leave empty what is not known. It is shown as missing where a check needs it, and never assumed."
BATTERY_FIELDS = [
    "product_model",
    "blocks",
    "capacity_ah",
    "date_code",
    "batch",
    "made_on",
    "discharge_limit_a",
    "design_life_years",
    "fitted_on",
]


def models_of(kind, present=None):
    """Product models of a kind to choose from: those still fitted to new work, and the one chosen before."""
    offered = ProductModel.objects.with_maker().filter(kind=kind)
    return offered.filter(is_current=True) | offered.filter(pk=present)


class PanelForm(ZonesModelForm):
    """A panel and its position as one; with a serial (only when it is new) also its unit."""

    serial = forms.CharField(
        max_length=60, required=False, help_text="As on the label, if the panel hangs there already. Needs the model."
    )
    firmware = forms.CharField(max_length=40, required=False)
    fitted_on = forms.DateField(required=False, help_text="Empty: today.", validators=[past_or_today])
    seen_position_version = forms.IntegerField(required=False, widget=forms.HiddenInput)
    from_zero_fields = PANEL_FIGURES_FROM_ZERO
    any_sign_fields = ("battery_coldest_c", "battery_usual_c")
    sentences = {
        "panel_battery_coldest_below_usual": (
            "battery_coldest_c",
            "{value} °C is warmer than the usual temperature at the battery. Correct one of the two.",
        )
    }

    class Meta:
        model = ControlPanel
        fields = ON_PANEL

    def __init__(self, *args, building=None, **kwargs):
        panel = kwargs.get("instance")
        position = panel.position if panel else Position()
        initial = {name: getattr(position, name) for name in POSITION_FIELDS if name != "walking_order"}
        initial["product_model"] = position.product_model_id
        kwargs["initial"] = {**initial, **(kwargs.get("initial") or {})}
        super().__init__(*args, **kwargs)
        on_position = forms.fields_for_model(Position, [name for name in POSITION_FIELDS if name != "walking_order"])
        on_position["product_model"].queryset = models_of(DeviceKind.CONTROL_PANEL, position.product_model_id)
        on_position["product_model"].label, on_position["product_model"].empty_label = "Model", "not entered"
        on_position["product_model"].help_text = "Its data sheet gives supply limit and standby current."
        on_position["tag"].help_text = "Unique in the building, for instance P1."
        if panel:
            for name in ("serial", "firmware", "fitted_on"):
                del self.fields[name]
            self.initial["seen_position_version"] = position.row_version
        else:
            del self.fields["seen_position_version"]
        self.fields["operation"].required = False  # left out, all at once: that asks most of the supply
        self.fields["after_reset"].required = False  # left out, they stay: nothing moves on its own
        show_figures_of_model(self, position.product_model, OF_THE_MODEL)
        own = dict(self.fields)
        first = {name: own.pop(name) for name in ("serial", "firmware", "fitted_on") if name in own}
        self.fields = {**on_position, **first, **own}

    def groups(self):
        """(heading, note, fields); what is in no group comes first."""
        named = {name for _, names in GROUPS for name in names}
        yield "Panel", "", [self[name] for name in self.fields if name not in named and not self[name].is_hidden]
        note = LEAVE_EMPTY
        for heading, names in GROUPS:
            yield heading, note, [self[name] for name in names]
            note = ""

    def clean_after_reset(self):
        return self.cleaned_data["after_reset"] or ControlPanel.AfterReset.STAY

    def clean_operation(self):
        return self.cleaned_data["operation"] or ControlPanel.Operation.SIMULTANEOUS

    def is_stale(self, cleaned):
        return super().is_stale(cleaned) or cleaned.get("seen_position_version") != self.stored.position.row_version

    def stored_record_of(self, name):
        return self.stored.position if name in POSITION_FIELDS else self.stored

    def _tell_stale(self):
        super()._tell_stale()
        self.data[self.add_prefix("seen_position_version")] = self.stored.position.row_version

    def position_values(self):
        return {name: self.cleaned_data[name] for name in POSITION_FIELDS if name in self.cleaned_data}

    def panel_values(self):
        return {name: self.cleaned_data[name] for name in ON_PANEL}


class BatterySetForm(ZonesModelForm):
    """A battery set: new blocks go in together."""

    fixed_fields = ("panel",)
    sentences = {
        "battery_set_has_blocks": ("blocks", "{value} is not possible: the number of blocks is from 1 to 48."),
        "battery_set_ends_on_or_after_its_start": (
            "fitted_on",
            "This set came out before {value:%-d %b %Y}. Correct the date.",
        ),
    }

    class Meta:
        model = BatterySet
        fields = BATTERY_FIELDS

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["product_model"].queryset = models_of(DeviceKind.BATTERY, self.instance.product_model_id)
        self.fields["product_model"].label = "Model"
        self.fields["capacity_ah"].help_text = "Empty: as the model's data sheet says."
        show_figures_of_model(self, self.instance.product_model, BATTERY_OF_THE_MODEL)
        if not self.instance.pk:
            self.initial["fitted_on"] = timezone.localdate()


class ChangeBatteryForm(BatterySetForm):
    """The same fields; the service closes the present set first, so its rule is not asked of the form."""

    fixed_fields = ()


class SettingForm(ZonesModelForm):
    fixed_fields = ("panel",)
    sentences = {
        "panel_setting_unique_per_panel": (
            "name",
            "This panel has a setting '{value}' already. Change that one, or choose another name.",
        )
    }

    class Meta:
        model = PanelSetting
        fields = ["name", "value", "unit", "allowed_range", "set_by", "set_on"]
        help_texts = {"value": "As left at the panel. Never write an access code here."}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        people = self.fields["set_by"].queryset.filter(role__in=("office", "engineer"))
        self.fields["set_by"].queryset = people.filter(is_active=True) | people.filter(pk=self.instance.set_by_id)
