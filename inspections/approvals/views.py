"""The page of an as-installed revision, where it is checked and approved, and its three forms."""

from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from inspections.approvals.acts import approve_revision, check_revision, may_withdraw, withdraw_last_act
from inspections.approvals.forms import ApproveForm, CheckForm, WithdrawForm
from sites_registry.access import STAFF_ROLES, Role
from sites_registry.views.base import FormPage
from zones.models import AsInstalledRevision


def _revision(request, slug, number):
    revisions = AsInstalledRevision.objects.visible_to(request.user).select_related("building", "taken_by", "job")
    revisions = revisions.prefetch_related("acts__by")
    return get_object_or_404(revisions, building__slug=slug, number=number)


@require_GET
def revision_detail(request, slug, number):
    revision = _revision(request, slug, number)
    standing = revision.standing_acts
    context = {
        "revision": revision,
        "building": revision.building,
        "acts": revision.acts.all(),
        "may_check": request.user.works_for_the_firm and not standing,
        "may_approve": request.user.is_office and revision.state == "only_checked",
        "may_withdraw": bool(standing) and may_withdraw(standing[-1], request.user),
        "earlier": number - 1,
    }
    return render(request, "inspections/approvals/revision_detail.html", context)


class _ActPage(FormPage):
    roles = STAFF_ROLES
    act_on = None

    def get_record(self):
        self.revision = _revision(self.request, **self.kwargs)

    def get_trail(self, record):
        return [self.revision.building, self.revision]

    def get_heading(self, record):
        return self.heading.format(revision=self.revision)

    def get_back_url(self, record):
        return self.revision.get_absolute_url()

    def success_url(self, record):
        return self.revision.get_absolute_url()

    def perform(self, form):
        return type(self).act_on(revision=self.revision, by=self.request.user, **form.cleaned_data)


class RevisionCheck(_ActPage):
    form_class = CheckForm
    act_on = check_revision
    heading = "Check {revision}"
    lead_line = "You state that it shows what is fitted, wired and set in the building, with your name and the day."
    verb = "State that it is checked"

    def form_arguments(self):
        return {"is_own": self.revision.taken_by == self.request.user}


class RevisionApprove(_ActPage):
    roles = (Role.OFFICE,)
    form_class = ApproveForm
    act_on = approve_revision
    heading = "Approve {revision}"
    lead_line = "Drawings and schedules name you as who approved it, for as long as the record equals it."
    verb = "Approve the revision"


class RevisionWithdraw(_ActPage):
    form_class = WithdrawForm
    act_on = withdraw_last_act
    heading = "Withdraw what was stated last of {revision}"
    lead_line = "What was stated stays on record with your reason; papers no longer show it."
    verb = "Withdraw it"
    is_grave = True


PAGES = {"check": RevisionCheck, "approve": RevisionApprove, "withdraw": RevisionWithdraw}
