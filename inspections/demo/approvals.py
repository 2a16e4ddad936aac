"""Statements on the last as-installed revision of a demo building: most are checked and approved, some are not."""

from datetime import timedelta

from django.utils import timezone

from inspections.approvals.acts import approve_revision, check_revision


def check_and_approve(building, number, people, site_engineer):
    """Of five buildings in turn three are approved, one is checked only, one waits for both."""
    revision = building.as_installed_revisions.order_by("-number").first()
    if revision is None or number % 5 == 0:
        return
    checked_at = min(revision.taken_at + timedelta(days=1), timezone.now())
    remark = "Compared on site with drawings and settings."
    check_revision(revision=revision, by=site_engineer, remark=remark, at=checked_at)
    if number % 5 != 4:
        approve_revision(revision=revision, by=people["office"], at=min(checked_at + timedelta(days=2), timezone.now()))
