"""What the engineer does with a visit as a whole: start, bring in positions, finish."""

from itertools import groupby

from django.contrib import messages
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST

from inspections.competence.needs import said_of, said_of_competence
from inspections.models import LogEntry, Outcome, Severity, Visit
from inspections.sign_offs.standing import Stood
from inspections.sign_offs.strokes import LEAST_REACH, TOO_SMALL
from inspections.sign_offs.taking import take_sign_off
from inspections.standing_matters.views import standing_context
from inspections.visit_pages.forms import LACKS, FinishForm
from inspections.visits.contradictions import contradictions_of
from inspections.visits.edits import (
    NotFinishable,
    VisitRefused,
    add_positions,
    finish_visit,
    positions_not_asked,
    start_visit,
)
from inspections.visits.kept_forms import kept_form
from inspections.visits.views.field import visit_of
from sites_registry.access import Role, for_roles
from sites_registry.filled_in import filled_in_at
from sites_registry.states import state_of
from sites_registry.views.base import FormPage, for_change


@for_roles(Role.ENGINEER)
@require_POST
def visit_start(request, pk):
    visit = visit_of(request, pk)
    try:
        started = start_visit(visit=visit, started_by=request.user, started_at=filled_in_at(request))
    except VisitRefused as refusal:
        messages.error(request, str(refusal))
        return redirect(visit)
    for _, sentence in said_of_competence(started):
        messages.warning(request, sentence)
    return redirect("visit-field", visit.pk)


@for_roles(Role.ENGINEER)
@require_POST
def visit_positions_add(request, pk):
    """Bring positions into a visit under way: those named, or all that were put in use after the start."""
    visit = visit_of(request, pk)
    chosen = positions_not_asked(visit)
    if not request.POST.get("all"):
        named = [pk for pk in request.POST.getlist("positions") if pk.isascii() and pk.isdigit() and len(pk) < 19]
        chosen = chosen.filter(pk__in=named)
    try:
        count = add_positions(visit=visit, positions=chosen)
    except VisitRefused as refusal:
        messages.error(request, str(refusal))
    else:
        words = f"{count} test point{'s' if count != 1 else ''} added." if count else "No position was added."
        messages.success(request, words)
    return redirect("visit-field", visit.pk)


def _standing_data(person, visit, stood):
    """How the visit stands, for a phone that puts on top of it what was given there and is not in the register yet."""
    return {
        "visit": visit.pk,
        "person": person.pk,
        "field_url": reverse("visit-field", args=[visit.pk]),
        "is_asked": bool(visit.is_open_for_results and stood.total),
        "points": stood.points,
        "outcomes": {value: state_of(value).as_data() for value in Outcome.values},
        "without_outcome": state_of("untested").as_data("without an outcome"),
        "impaired_open": state_of("impaired").as_data("impaired points left open"),
        "severities": {value: state_of(value).as_data() for value in Severity.values},
        "lacks": {**LACKS, "too_small": TOO_SMALL},
        "least_reach_px": LEAST_REACH,
    }


def _why_not_now(visit, stood):
    """Why a visit cannot be signed off at all, whatever was tested; empty where it can."""
    if not visit.is_open_for_results:
        return f"{visit} is {visit.get_state_display()}: there is nothing to sign off."
    return "" if stood.total else "This visit has no test points. Add the positions that were worked on."


class VisitFinish(FormPage):
    roles = (Role.ENGINEER,)
    form_class = FinishForm
    template_name = "inspections/visit_pages/visit_finish.html"
    verb = "Finish the visit"
    saved_message = "Visit finished. The office issues its certificate once nothing stands that nobody accepted."

    ahead = None  # of a visit that a phone takes along before it is started (visits/ahead.py)

    def get_record(self):
        if self.ahead:
            return self.ahead.visit
        return for_change(Visit.objects.select_related("building", "job__building"), self.request, pk=self.kwargs["pk"])

    def take_up(self):
        super().take_up()
        self.makes_new = True  # a sign-off: sent again, as by a phone that got no answer, the form is taken once

    def form_arguments(self):
        if not self.ahead:
            return {}
        return {"stood": Stood([(one.pk, one.position_id, None) for one in self.ahead.points_in_walking_order], [])}

    def _open_points(self, visit):
        if self.ahead:
            return self.ahead.points_in_walking_order
        return visit.test_points.without_outcome().select_related("position").in_walking_order()

    def get_heading(self, record):
        return f"Finish {str(record).lower()}, {record.building}"

    def get_trail(self, record):
        return [record.building, record]

    def get_back_url(self, record):
        return reverse("visit-field", args=[record.pk])

    def get_context(self, form):
        visit = self.record
        points = self._open_points(visit)
        by_position = [(position, list(group)) for position, group in groupby(points, key=lambda p: p.position)]
        is_asked = visit.is_open_for_results and not visit.is_ahead
        return super().get_context(form) | {
            "visit": visit,
            "kept_form": kept_form(
                self.request.user,
                visit,
                f"end of {str(visit).lower()}",
                done=visit.get_absolute_url(),
                starts=visit.is_ahead,
                is_once=True,
            ),
            "open_positions": by_position,
            "open_points": sum(len(g) for _, g in by_position),
            "not_asked": positions_not_asked(visit).count() if is_asked else 0,
            "stood": form.stood,
            "standing_data": _standing_data(self.request.user, visit, form.stood),
            "not_now": _why_not_now(visit, form.stood),
            "asks_nobody": not visit.is_open_for_results or not form.stood.total or form.stood.without_outcome,
            "defects": form.stood.open_defects,
            "out_of_service": LogEntry.objects.filter(building=visit.building)
            .open_disablements()
            .select_related("smoke_zone", "position"),
            "said": said_of(visit),
            "contradictions": contradictions_of(visit),
            "put_right": visit.defects_found.put_right_on(visit).select_related("position").worst_first(),
            **standing_context(self.request, visit.job, visit),
            "not_told": [d for d in form.stood.impaired if not (d.told_to and d.interim_measure)],
        }

    def perform(self, form):
        if form.instance.state == Visit.State.FINISHED:
            return form.instance
        visit = form.save()
        try:
            finished_at = filled_in_at(self.request, not_before=visit.started_at)
            visit = finish_visit(visit=visit, finished_by=self.request.user, finished_at=finished_at)
        except NotFinishable as refusal:
            count = len(refusal.test_points)
            raise VisitRefused(
                f"{count} test point{'s have' if count != 1 else ' has'} no outcome yet. "
                "Test them, or say for each why it was not accessible or not applicable."
            ) from refusal
        signed = {
            name: form.cleaned_data.get(name) or "" for name in ("how", "why_nobody", "notice_given", "signature")
        }
        take_sign_off(visit=visit, taken_by=self.request.user, name=visit.witness, **signed)
        return visit
