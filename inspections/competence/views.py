"""What a person is trained for, until when, with the evidence."""

from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from inspections.competence.document import training_record_pdf
from inspections.competence.forms import QualificationForm
from inspections.competence.needs import standing_of
from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.downloads import download, file_name
from sites_registry.history import changes_of
from sites_registry.models import Person, Qualification
from sites_registry.views.base import FormPage, TrailPage, for_change


def competence_page(person):
    """The page of what a person is trained for, as a step of a trail."""
    return TrailPage(person.full_name, _address(person))


def _address(person):
    return reverse("person-competence", args=[person.pk])


@for_roles(*STAFF_ROLES)
@require_safe
def person_competence(request, pk):
    person = get_object_or_404(Person.objects.visible_to(request.user), pk=pk)
    today = timezone.localdate()
    held = Qualification.objects.visible_to(request.user).filter(person=person).prefetch_related("attachments")
    context = {
        "person": person,
        "rows": [
            (one, standing_of(one, today), sum(file.withdrawn_at is None for file in one.attachments.all()))
            for one in held
        ],
    }
    return render(request, "inspections/competence/person_competence.html", context)


@for_roles(*STAFF_ROLES)
@require_safe
def training_record(request, pk):
    person, now = get_object_or_404(Person.objects.visible_to(request.user), pk=pk), timezone.now()
    content = training_record_pdf(person, asked_by=request.user, now=now, address=_address(person))
    return download(
        content, "application/pdf", file_name(person, "training record", f"{timezone.localdate(now)}", "pdf")
    )


@for_roles(*STAFF_ROLES)
@require_safe
def qualification_detail(request, pk):
    held = Qualification.objects.visible_to(request.user).select_related("person")
    qualification = get_object_or_404(held, pk=pk)
    context = {
        "qualification": qualification,
        "person": qualification.person,
        "standing": standing_of(qualification, timezone.localdate()),
        "attachments": qualification.attachments.visible_to(request.user).for_list(),
        "changes": changes_of(qualification),
    }
    return render(request, "inspections/competence/qualification_detail.html", context)


class _QualificationPage(FormPage):
    form_class = QualificationForm

    def get_trail(self, record):
        return [competence_page(record.person)]


class QualificationCreate(_QualificationPage):
    verb = "Add it"

    def get_record(self):
        people = Person.objects.visible_to(self.request.user)
        return Qualification(person=get_object_or_404(people, pk=self.kwargs["pk"]))

    def get_heading(self, record):
        return f"What {record.person} is trained for"

    def get_back_url(self, record):
        return _address(record.person)


class QualificationUpdate(_QualificationPage):
    def get_record(self):
        return for_change(Qualification.objects.select_related("person"), self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"Change {record.title}, {record.person}"
