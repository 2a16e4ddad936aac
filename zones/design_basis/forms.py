"""What may be typed about the design basis of a building and the firm's common practice."""

from django import forms

from sites_registry.forms.base import show_where_empty
from zones.design_basis.practice import current_practice
from zones.editing.forms import ZonesModelForm
from zones.engineering import STANDBY_BASES
from zones.models import DesignBasis, PracticeValue


class DesignBasisForm(ZonesModelForm):
    fixed_fields = ("building",)
    more_than_zero_fields = ("operations", "opening_limit_s", "fire_minutes")
    standby_basis = forms.ChoiceField(
        label="Standby battery sized by",
        required=False,
        choices=[("", "not stated"), *((basis.key, basis.name) for basis in STANDBY_BASES.values())],
        help_text="With its edition: a building keeps the rules under which it was designed.",
    )

    class Meta:
        model = DesignBasis
        fields = ["standby_basis", "standby_hours", "operations", "opening_limit_s", "fire_minutes", "source"]
        help_texts = {
            "standby_hours": "Only where the fire strategy asks for other hours than the basis.",
            "operations": "How often the vents must open or close after standby. Nothing is assumed.",
            "opening_limit_s": "Empty: the firm's common practice (EN 12101-2:2017: 60 s).",
            "fire_minutes": "For cables with a length exposed to fire, as the fire engineer decides.",
            "source": "Fire strategy, clause, letter.",
        }

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        show_where_empty(self, {"opening_limit_s": current_practice().opening_limit_s})


class PracticeForm(ZonesModelForm):
    """One figure; the service reads and checks it."""

    value = forms.CharField(max_length=300)

    class Meta:
        model = PracticeValue
        fields = ["value"]
