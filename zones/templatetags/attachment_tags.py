"""The files of a record on its page."""

from django import template
from django.urls import reverse

from sites_registry.access import STAFF_ROLES
from zones.files.attachments import may_withdraw, owner_word
from zones.files.forms import AttachmentForm

register = template.Library()


@register.inclusion_tag("components/attachments.html", takes_context=True)
def files_of(context, owner, attachments):
    """The list of `attachments` (a queryset for `owner`, limited by `visible_to`) with the form to add one."""
    person = context["request"].user
    works_for_the_firm = person.role in STAFF_ROLES
    rows = [{"file": each, "may_withdraw": may_withdraw(person, each)} for each in attachments]
    return {
        "rows": [row for row in rows if row["file"].withdrawn_at is None],
        "withdrawn": [row["file"] for row in rows if row["file"].withdrawn_at],
        "may_add": works_for_the_firm,
        "add_url": reverse("attachment-create", args=[owner_word(owner), owner.pk]),
        "form": AttachmentForm(auto_id="attach_%s") if works_for_the_firm else None,
        "request": context["request"],
        "csrf_token": context.get("csrf_token"),
    }
