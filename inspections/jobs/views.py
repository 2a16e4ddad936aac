"""The page of one job, with its visits and as-installed revisions, and its closing."""

from django.utils import timezone
from django.views.generic import DetailView

from inspections.jobs.closing import all_reasons_not_to_close, close_job_with_revision
from inspections.models import HandOver, Visit
from inspections.standing_matters.views import standing_context
from sites_registry.access import STAFF_ROLES, RoleMixin, VisibleMixin
from sites_registry.forms.jobs import CloseJobForm
from sites_registry.models import Job
from sites_registry.views.jobs import JobPage
from zones.models import AsInstalledRevision


class JobDetail(RoleMixin, VisibleMixin, DetailView):
    roles = STAFF_ROLES
    queryset = Job.objects.with_building().select_related("lead")
    slug_field = slug_url_kwarg = "number"
    template_name = "inspections/jobs/job_detail.html"

    def get_context_data(self, **kwargs):
        job, user = self.object, self.request.user
        standing = {} if job.closed_on else standing_context(self.request, job)
        return super().get_context_data(
            contacts=job.building.client.contacts.all(),
            variations=job.building.variations.standing(),
            documents=job.handed_over.all(),
            attachments=job.attachments.visible_to(user).for_list(),
            visits=Visit.objects.visible_to(user).filter(job=job).select_related("engineer").order_by("planned_on"),
            hand_overs=HandOver.objects.visible_to(user).filter(job=job).select_related("to").with_file_count(),
            revisions=AsInstalledRevision.objects.visible_to(user).filter(job=job).without_record(),
            missing=[] if job.closed_on else all_reasons_not_to_close(job, standing["stands"]),
            **standing,
            **kwargs,
        )


class JobClose(JobPage):
    template_name = "inspections/jobs/job_close.html"
    form_class = CloseJobForm
    heading = "Close the job"
    lead_line = "What is fitted, wired and set is frozen as the building's next as-installed revision."
    verb = "Close the job"
    saved_message = "{record.number} is closed, and the as-installed revision is taken."

    def make_form(self, **bound):
        return CloseJobForm(bound.get("data"), initial={"closed_on": timezone.localdate()})

    def get_context(self, form):
        return super().get_context(form) | standing_context(self.request, self.record)

    def perform(self, form):
        return close_job_with_revision(
            job=self.record, closed_on=form.cleaned_data["closed_on"], closed_by=self.request.user
        )
