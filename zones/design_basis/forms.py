"""What may be typed about the design basis of a building and the firm's common practice."""

from django import forms

from sites_registry.forms.base import show_where_empty
from zones.design_basis.practice import current_practice
from zones.editing.forms import GroupedForm, ZonesModelForm
from zones.engineering import STANDBY_BASES
from zones.engineering.editions import document_of
from zones.models import DesignBasis, PracticeValue
from zones.models.vent_loads import CLASSES, LOADS


def _with_standing(basis):
    """A basis with what became of its edition."""
    document = document_of(basis.source)
    return f"{basis.name} ({document.standing})" if document and document.standing else basis.name


class DesignBasisForm(GroupedForm):
    fixed_fields = ("building",)
    any_sign_fields = ("cold_class_c",)
    first_heading = "Strategy"
    field_groups = (
        (
            "Loads on vents",
            "For the force of actuators; a vent may have its own. Empty: not stated, and not checked; 0: none.",
            LOADS,
        ),
        (
            "Classes asked of vents",
            "EN 12101-2: WL 1500 is typed as 1500, T(-15) as -15, T(00) as 0. Empty: not asked.",
            CLASSES,
        ),
    )
    more_than_zero_fields = ("operations", "opening_limit_s", "fire_minutes")
    standby_basis = forms.ChoiceField(
        label="Standby battery sized by",
        required=False,
        choices=[("", "not stated"), *((basis.key, _with_standing(basis)) for basis in STANDBY_BASES.values())],
        help_text="With its edition: a building keeps the rules under which it was designed.",
    )

    class Meta:
        model = DesignBasis
        fields = ["standby_basis", "standby_hours", "operations", "opening_limit_s", "fire_minutes", "source"]
        fields += [*LOADS, *CLASSES]
        help_texts = {
            "standby_hours": "Only where the fire strategy asks for other hours than the basis.",
            "operations": "How often the vents must open or close after standby. Nothing is assumed.",
            "opening_limit_s": "Empty: the firm's common practice (EN 12101-2:2017: 60 s).",
            "fire_minutes": "For cables with a length exposed to fire, as the fire engineer decides.",
            "source": "Fire strategy, clause, letter.",
            "wind_opening_pa": "What the leaf opens against.",
            "wind_suction_pa": "What pulls at the closed leaf.",
            "snow_pa": "On the plan, as EN 1991-1-3 gives it.",
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
