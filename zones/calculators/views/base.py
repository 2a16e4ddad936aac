"""What the calculators share: a GET form whose figures stand in the address, and an answer made of findings."""

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple
from urllib.parse import urlencode

from django.shortcuts import render
from django.urls import reverse
from django.views import View

from sites_registry.access import STAFF_ROLES, RoleMixin
from zones.design_basis.practice import current_practice
from zones.design_check.findings import ShownFinding
from zones.engineering.findings import Finding, worst_first
from zones.engineering.quantities import QuantityError

CAUTION = (
    "This supports a competent person. It does not replace the standard or the local code, and a measurement on the "
    "installation outranks every figure in it."
)


class Head(NamedTuple):
    """A figure to be read first; `value` in words with its unit."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What a calculator says. `extra` goes to the template of the calculator: tables and the like."""

    findings: tuple[Finding, ...]
    heads: tuple[Head, ...] = ()
    extra: object = None


class CalculatorPage(RoleMixin, View):
    """One calculator. Subclasses give `form_class`, `heading`, `lead` and `hint`, and implement `calculate`."""

    roles = STAFF_ROLES
    http_method_names = ["get", "head"]
    template_name = "zones/calculators/calculator.html"
    form_class = None
    heading = lead = hint = ""
    beside = ()  # all calculators, for the bar; none where a page stands among those of a record
    is_refused = False  # a box beside the form was; the answer stands

    def get(self, request):
        is_asked = self.form_class.asked(request.GET)
        form = self.make_form(request.GET if is_asked else None)
        if form.from_practice:
            form.show_practice(self.practice)
        answer = self.answer(form) if is_asked and form.is_valid() else None
        context = {
            "form": form,
            "answer": answer,
            "heading": self.heading,
            "lead": self.lead,
            "hint": self.hint,
            "caution": CAUTION,
            "shared": self._shared(form) if answer else "",
            "siblings": self._siblings(),
            **self.get_context(),
        }
        if is_asked and not answer:
            context["refused_at"] = "answer"  # the address leads to the form in place of an answer
        if answer:
            findings = worst_first([*form.questions(), *answer.findings])
            context["lines"] = [ShownFinding(finding) for finding in findings]
        is_refused = self.is_refused or (is_asked and answer is None)
        return render(request, self.template_name, context, status=422 if is_refused else 200)

    def _siblings(self):
        return [
            {"word": one.word, "url": reverse(one.url_name), "is_here": isinstance(self, one.page)}
            for one in self.beside
        ]

    def make_form(self, data):
        return self.form_class(data)

    def get_context(self):
        """What a page shows besides form and answer."""
        return {}

    @cached_property
    def practice(self):
        """What is reckoned with where nothing was entered; read once."""
        return self.get_practice()

    def get_practice(self):
        return current_practice()

    def answer(self, form):
        """The answer, or None when engineering refuses figures that do not go together (told at their field)."""
        try:
            return self.calculate(form.cleaned_data, self.practice)
        except QuantityError as error:
            form.refuse(error)
            return None

    def calculate(self, figures, practice) -> Answer:
        raise NotImplementedError

    def _shared(self, form):
        """The address of this page with nothing but what was entered."""
        typed = ((name, text.strip()) for name in form.fields for text in self.request.GET.getlist(name))
        return f"{self.request.path}?{urlencode([(name, text) for name, text in typed if text])}"
