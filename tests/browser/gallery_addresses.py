"""The addresses of the register and one page more, which is no part of it: every part in every state."""

from datetime import date, datetime
from types import SimpleNamespace

from django import forms
from django.contrib import messages
from django.core.paginator import Paginator
from django.shortcuts import render
from django.urls import include, path

from sites_registry.forms.base import RegisterForm
from sites_registry.states import STATES

KINDS = [("", "choose"), ("actuator", "actuator"), ("manual_call_point", "manual call point"), ("sounder", "sounder")]
LONG = "Donaudampfschifffahrtsgesellschaftsverwaltungsgebäude, south-eastern stairwell extension"


class FieldsForm(RegisterForm):
    """A field of each kind, as wide as what it holds."""

    tag = forms.CharField(max_length=20, help_text="Unique in the building, for instance P1.")
    name = forms.CharField(max_length=80)
    place = forms.CharField(max_length=200)
    kind = forms.ChoiceField(choices=KINDS)
    supply_limit_a = forms.DecimalField(label="Supply limit (A)")
    own_voltage_drop_v = forms.DecimalField(
        label="Drop inside the panel (V)",
        required=False,
        help_text="Empty: the model's.",
        widget=forms.NumberInput(attrs={"placeholder": "0.4"}),
    )
    battery_coldest_c = forms.DecimalField(label="Coldest temperature at the battery (°C)")
    fitted_on = forms.DateField()
    happened_at = forms.DateTimeField()
    email = forms.EmailField()
    notes = forms.CharField(widget=forms.Textarea, required=False)
    outcome = forms.ChoiceField(choices=[("pass", "pass"), ("fail", "fail")], widget=forms.RadioSelect)
    hazards = forms.MultipleChoiceField(
        choices=[("height", "work at height"), ("mains", "mains"), ("leaf", "moving leaf")],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    is_guarded = forms.BooleanField(label="Guard over the mains terminals", required=False)
    fixed = forms.CharField(max_length=40, disabled=True, initial="set by the page", required=False)


class FaultyForm(FieldsForm):
    def clean(self):
        raise forms.ValidationError("This record was changed after you opened it. Compare and save again.")


class FewRequiredForm(RegisterForm):
    tag = forms.CharField(max_length=20)
    storey = forms.CharField(max_length=20, required=False)
    room = forms.CharField(max_length=80, required=False)


def sibling(word, number=None, *, here=False):
    return SimpleNamespace(url="#content", word=word, number=number, is_here=here)


def stale_form():
    row = {"label": "Supply limit (A)", "stored": "24", "yours": "20"}
    return SimpleNamespace(stale_fields=[row], stale_by="Nadia Corve")


PICTURE = "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 4 3'%3E%3Crect width='4' height='3' fill='%237d858a'/%3E%3C/svg%3E"  # noqa: E501


class ShownPhoto(SimpleNamespace):
    """A photograph as its part knows it."""

    def __str__(self):
        return f"Photograph {self.pk}"


def shown_photos():
    usual = {"width_px": 4, "height_px": 3, "small_url": PICTURE, "taken_by": "Nadia Corve", "of_words": "Defect 7"}
    words = {"alt": "Cut core", "caption": "Cut core", "get_absolute_url": "#content", "taken_at": datetime(2026, 3, 3)}
    yield ShownPhoto(**usual, **words, pk=1, stage="before", get_stage_display="before", marks=[{}])
    yield ShownPhoto(**usual, **words | {"caption": LONG, "taken_at": None}, pk=2, received_at=datetime(2026, 3, 4))


def shown_changes():
    usual = {"who": "Nadia Corve", "why": "", "is_first": False, "says_who": True, "head": None}
    yield usual | {"when": datetime(2026, 3, 4, 9), "what": [("place", "–", LONG)], "why": "as found on site"}
    yield usual | {"when": datetime(2026, 3, 3, 8), "what": [], "is_first": True}


def gallery(request):
    for level, text in (
        (messages.SUCCESS, "Panel P1 saved."),
        (messages.WARNING, "Saved; the file is large."),
        (messages.ERROR, "Nothing was saved: the disk is full."),
    ):
        messages.add_message(request, level, text)
    bad = {"tag": "x" * 21, "supply_limit_a": "many", "fitted_on": "03/04/2026", "kind": "party", "email": "nobody"}
    pages = ["Panel", "Wiring", "Cause and effect", "Logic proof", "Simulator", "Settings", "Design check", "Diagram"]
    tones = {}
    for key, state in STATES.items():
        tones.setdefault(state.tone, []).append(key)
    context = {
        "fields_form": FieldsForm(initial={"tag": "P1", "supply_limit_a": 24}),
        "faulty_form": FaultyForm(bad, auto_id="faulty_%s"),
        "few_form": FewRequiredForm(auto_id="few_%s"),
        "group_fields": list(FewRequiredForm(auto_id="group_%s")),
        "stale_form": stale_form(),
        "asking_form": SimpleNamespace(questions=["A supply of 400 A is unusual."], question_key="k"),
        "siblings_of_panel": [sibling(word, number, here=number == 3) for number, word in enumerate(pages)],
        "siblings_many": [sibling(f"Page of the panel {number}", number * 37) for number in range(1, 15)],
        "tones": tones.items(),
        "long": LONG,
        "rows": [(f"M{number}", number % 7 == 3) for number in range(1, 13)],
        "day_row": (date(2026, 3, 3), "Nadia Corve"),
        "page": Paginator(range(240), 50).page(2),
        "photos": list(shown_photos()),
        "changes": list(shown_changes()),
    }
    return render(request, "components/gallery.html", context)


urlpatterns = [path("gallery/", gallery), path("", include("sites_registry.urls"))]
