"""Defects: the list, worst first; one defect with its history; change what is on record."""

from datetime import timedelta

import django_filters
import django_tables2 as tables
from django.db.models import Q
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_GET

from inspections.defects.forms import DefectForm
from inspections.defects.history import changes_of
from inspections.defects.put_right import put_right_lately
from inspections.models import Defect, Photo, Severity
from inspections.models.defects import age_state
from sites_registry.access import Role
from sites_registry.duties import english_high_rise
from sites_registry.states import key_and_word, state_mark
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import CodeColumn, ListPage, RegisterTable, StateColumn
from zones.editing.pages import building_of

AGES = [("1", "more than a day"), ("30", "more than 30 days"), ("90", "more than 90 days"), ("365", "more than a year")]


class DefectTable(RegisterTable):
    noun = "defects"
    holds = {"pk": "date", "severity": "date", "building": "name", "age": "date", "state": "state"}
    pk = tables.Column(verbose_name="Defect", linkify=True)
    severity = StateColumn(order_by="rank")
    building = tables.Column(order_by="building__name")
    position = CodeColumn(verbose_name="Tag", linkify=False, default="", order_by="position__tag_key")
    description = tables.Column(verbose_name="What is wrong", orderable=False)
    found_at = tables.DateColumn(verbose_name="Found", format="j M Y", attrs={"td": {"class": "nowrap"}})
    age = tables.Column(empty_values=(), order_by="-found_at", attrs={"td": {"class": "nowrap"}})
    state = tables.Column(verbose_name="State", empty_values=(), orderable=False)

    def render_age(self, record):
        end = record.closed_at or timezone.now()
        days = (end - record.found_at).days
        words = f"{days} day{'s' if days != 1 else ''}"
        if record.is_open and age_state(record) == "overdue":
            return state_mark("overdue", words)
        return words

    def render_state(self, record):
        if record.is_open and record.is_contradicted:
            return state_mark("contradicted", "open, contradicted by a pass")
        state = "open" if record.is_open else "closed"
        return state_mark(state)


class BuildingDefectTable(DefectTable):
    class Meta(DefectTable.Meta):
        exclude = ("building",)


class DefectFilter(django_filters.FilterSet):
    state = django_filters.ChoiceFilter(
        label="State",
        method="by_state",
        choices=[key_and_word("open"), key_and_word("closed"), ("all", "open and closed")],
        empty_label=None,
    )
    severity = django_filters.ChoiceFilter(choices=Severity.choices, empty_label="all")
    age = django_filters.ChoiceFilter(label="Age", method="by_age", choices=AGES, empty_label="all")
    building = django_filters.CharFilter(label="Building or client", method="by_building", max_length=100)

    class Meta:
        model = Defect
        fields = []

    def __init__(self, data=None, *args, **kwargs):
        data = data.copy() if data else {}
        data.setdefault("state", "open")  # what is open is the question that brings people here
        super().__init__(data, *args, **kwargs)

    def by_state(self, defects, name, state):
        if state == "all":
            return defects
        return defects.exclude(closed_at=None) if state == "closed" else defects.open()

    def by_age(self, defects, name, days):
        return defects.filter(found_at__lt=timezone.now() - timedelta(days=int(days)))

    def by_building(self, defects, name, text):
        return defects.filter(Q(building__name__icontains=text) | Q(building__client__name__icontains=text))


class DefectList(ListPage):
    queryset = Defect.objects.worst_first().with_place()
    table_class = DefectTable
    filterset_class = DefectFilter
    heading = "Defects"
    lead_line = "Worst first. A defect is closed by a passing result of a visit."
    empty_text = "No open defects."


class BuildingDefectFilter(DefectFilter):
    building = None  # the page is of one


class BuildingDefects(DefectList):
    """The defects of one building, on a page beside its others, and what was put right where it was found."""

    template_name = "inspections/defects/building_defects.html"
    table_class = BuildingDefectTable
    filterset_class = BuildingDefectFilter
    empty_text = "No defect is open."

    def get_queryset(self):
        self.building = building_of(self.request, self.kwargs["slug"])
        return super().get_queryset().filter(building=self.building)

    def get_trail(self):
        return [self.building]

    def get_context_data(self, **kwargs):
        return super().get_context_data(put_right=put_right_lately(self.building), **kwargs)


@require_GET
def defect_detail(request, pk):
    defect = get_object_or_404(Defect.objects.visible_to(request.user).for_detail(), pk=pk)
    context = {
        "defect": defect,
        "building": defect.building,
        "age": age_state(defect),
        "report_due_at": defect.found_at + timedelta(hours=24),
        "changes": changes_of(defect),
        "high_rise": english_high_rise(defect.building),
        **_photos_of(request, defect),
    }
    return render(request, "inspections/defects/defect_detail.html", context)


def _photos_of(request, defect):
    photos = list(Photo.objects.visible_to(request.user).of_defect(defect).for_list().in_walking_order())
    standing = [photo for photo in photos if not photo.withdrawn_at]
    stages = [(word.capitalize(), [p for p in standing if p.stage == stage]) for stage, word in Photo.Stage.choices]
    return {
        "stages": stages if any(of_stage for _, of_stage in stages) else [],
        "other_photos": [photo for photo in standing if not photo.stage],
        "withdrawn": [photo for photo in photos if photo.withdrawn_at],
    }


class DefectUpdate(FormPage):
    roles = (Role.OFFICE, Role.ENGINEER)
    form_class = DefectForm

    def get_record(self):
        return for_change(Defect.objects.select_related("building"), self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"Change {str(record).lower()}"

    def get_trail(self, record):
        return [record.building, record]

    def perform(self, form):
        if not form.instance.is_open:
            form.add_error(None, f"{form.instance} is closed and cannot be changed.")
            return form.instance
        form.instance._change_reason = form.cleaned_data["reason"]
        if form.cleaned_data["told_to"] and not form.cleaned_data["told_at"]:
            form.instance.told_at = timezone.now()
        return form.save()
