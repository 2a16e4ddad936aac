"""Jobs: the list, open, change, receipt, open again; the documents handed over.

The page of one job and its closing are in inspections, which knows its visits and the as-installed record.
"""

import django_filters
import django_tables2 as tables
from django.contrib import messages
from django.db.models import Q
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse, reverse_lazy
from django.views.decorators.http import require_POST

from sites_registry.access import STAFF_ROLES, Role, for_roles
from sites_registry.forms.jobs import HandedOverDocumentForm, JobForm, NewJobForm, ReceiptForm
from sites_registry.models import Building, HandedOverDocument, Job
from sites_registry.services.jobs import open_job, open_job_again, require_open
from sites_registry.states import state_mark
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import AT_DESK, CodeColumn, ListPage, RegisterTable


class JobFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(label="Text", method="named")
    state = django_filters.ChoiceFilter(
        label="State", method="in_state", choices=[("open", "open"), ("closed", "closed")], empty_label="all"
    )
    kind = django_filters.ChoiceFilter(label="Kind", choices=Job.Kind.choices, empty_label="all")

    class Meta:
        model = Job
        fields = []

    def named(self, jobs, name, value):
        return jobs.filter(
            Q(number__icontains=value)
            | Q(building__name__icontains=value)
            | Q(building__client__name__icontains=value)
            | Q(scope__icontains=value)
        )

    def in_state(self, jobs, name, value):
        return jobs.open() if value == "open" else jobs.exclude(closed_on=None)


class JobTable(RegisterTable):
    noun = "jobs"
    number = CodeColumn()
    building = tables.Column(order_by=("building__name", "number"))
    client = tables.Column(
        accessor="building__client", verbose_name="Client", order_by=("building__client__name",), attrs=AT_DESK
    )
    kind = tables.Column()
    lead = tables.Column(order_by=("lead__full_name",))
    opened_on = tables.DateColumn(verbose_name="Opened on", format="j M Y")
    closed_on = tables.Column(verbose_name="State", empty_values=())

    holds = {"kind": "kind", "lead": "zone", "closed_on": "state", "number": "serial"}

    class Meta(RegisterTable.Meta):
        order_by = ("-opened_on", "-number")

    def render_closed_on(self, value):
        return state_mark("closed", f"closed {value:%-d %b %Y}") if value else state_mark("open")


class JobList(ListPage):
    roles = STAFF_ROLES
    queryset = Job.objects.with_building().select_related("lead")
    table_class = JobTable
    filterset_class = JobFilter
    heading = "Jobs"
    add_url_name = "job-create"
    add_word = "Open a job"
    empty_text = "No job yet. A job is an order of work at a building; open the first one."


class JobCreate(FormPage):
    form_class = NewJobForm
    heading = "Open a job"
    lead_line = "The number is given when the job is saved."
    verb = "Open the job"
    list_url = reverse_lazy("job-list")
    list_word = "Jobs"
    saved_message = "{record.number} is open."

    def get_back_url(self, record):
        return reverse("job-list")

    def form_arguments(self):
        slug = self.request.GET.get("building", "").replace("\0", "")
        building = Building.objects.visible_to(self.request.user).filter(slug=slug).first()
        return {"initial": {"building": building}}

    def perform(self, form):
        return open_job(**form.job_data())


class JobPage(FormPage):
    """A form over a job that is open."""

    def get_record(self):
        return for_change(Job.objects.with_building(), self.request, number=self.kwargs["number"])

    def get_trail(self, record):
        return [record.building, record]

    def perform(self, form):
        require_open(self.record)
        return form.save()


class JobUpdate(JobPage):
    form_class = JobForm
    heading = "Change the job"
    saved_message = "{record.number} is changed."


class JobReceipt(JobPage):
    roles = STAFF_ROLES
    form_class = ReceiptForm
    heading = "Receipt of the hand-over"
    lead_line = "The client acknowledges that the papers came and that they suffice."
    verb = "Record the receipt"
    saved_message = "The receipt of {record.number} is recorded."


@for_roles(Role.OFFICE)
@require_POST
def job_open_again(request, number):
    job = get_object_or_404(Job.objects.visible_to(request.user), number=number)
    open_job_again(job=job)
    messages.success(request, f"{job.number} is open again.")
    return redirect(job)


class HandedOverCreate(FormPage):
    roles = STAFF_ROLES
    form_class = HandedOverDocumentForm
    heading = "Note a document handed over"
    verb = "Note the document"
    saved_message = "“{record.title}” is noted as handed over."
    can_add_another = True

    def get_record(self):
        job = get_object_or_404(Job.objects.visible_to(self.request.user), number=self.kwargs["number"])
        return HandedOverDocument(job=job)

    def get_trail(self, record):
        return [record.job]

    def get_back_url(self, record):
        return record.job.get_absolute_url()

    def perform(self, form):
        require_open(self.record.job)
        return form.save()


class HandedOverUpdate(HandedOverCreate):
    heading = "Correct the document handed over"
    verb = "Save"
    saved_message = "“{record.title}” is corrected."

    def get_record(self):
        return for_change(HandedOverDocument.objects.select_related("job"), self.request, pk=self.kwargs["pk"])
