"""Cause-and-effect rules of a panel, as a plainly editable table."""

from django.urls import reverse
from django.views.generic import DetailView

from sites_registry.access import VisibleMixin
from zones.cause_and_effect.forms import RuleForm
from zones.cause_and_effect.records import rules_of
from zones.editing.pages import RemovePage, may_edit
from zones.models import CauseAndEffectRule, ControlPanel
from zones.panels.views.panels import ChangeOnPanelPage, OnPanelPage


def list_url_of(panel):
    return reverse("rule-list", args=[panel.pk])


class RuleListView(VisibleMixin, DetailView):
    queryset = ControlPanel.objects.select_related("building", "position")
    template_name = "zones/cause_and_effect/rule_list.html"
    context_object_name = "panel"

    def get_context_data(self, **kwargs):
        rules = rules_of(self.object).order_by("cause", "position__tag_key", "pk")
        return super().get_context_data(rules=rules, may_edit=may_edit(self.request), **kwargs)


class RuleCreateView(OnPanelPage):
    model = CauseAndEffectRule
    form_class = RuleForm
    verb = "Add rule"
    saved_message = "Rule '{record}' added."
    can_add_another = True

    def get_heading(self, record):
        return f"Add cause-and-effect rule to {self.panel.tag}"

    def get_back_url(self, record):
        return list_url_of(self.panel)

    def success_url(self, record):
        return list_url_of(self.panel)


class RuleUpdateView(ChangeOnPanelPage):
    model = CauseAndEffectRule
    form_class = RuleForm
    template_name = "zones/editing/mistake_form.html"
    verb = "Save rule"
    saved_message = "Rule '{record}' saved."

    def get_heading(self, record):
        return f"Cause-and-effect rule of {record.panel.tag}"

    def get_back_url(self, record):
        return list_url_of(record.panel)

    def success_url(self, record):
        return list_url_of(record.panel)

    def get_context(self, form):
        return {**super().get_context(form), "remove_url": reverse("rule-remove", args=[self.record.pk])}


class RuleRemoveView(RemovePage):
    queryset = CauseAndEffectRule.objects.select_related("panel", "position")

    def get_back_url(self, record):
        return list_url_of(record.panel)
