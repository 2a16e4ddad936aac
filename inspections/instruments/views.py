"""Instruments of the firm: list, one with its files and visits, add, change."""

import django_filters
import django_tables2 as tables
from django.db.models import Q
from django.shortcuts import get_object_or_404, render
from django.urls import reverse_lazy
from django.utils import timezone
from django.views.decorators.http import require_safe

from inspections.instruments.calibration import calibration_on
from inspections.instruments.document import calibration_list_pdf
from inspections.instruments.forms import InstrumentForm
from inspections.models import InstrumentUsed
from sites_registry.access import STAFF_ROLES, for_roles
from sites_registry.downloads import download, file_name
from sites_registry.history import changes_of
from sites_registry.models import Firm, Instrument
from sites_registry.states import state_mark
from sites_registry.views.base import FormPage, for_change
from sites_registry.views.lists import ListPage, RegisterTable

USES_SHOWN = 50


class InstrumentTable(RegisterTable):
    noun = "instruments"
    holds = {"own_number": "serial", "name": "name", "serial": "serial", "calibration_due_on": "state"}
    own_number = tables.Column(verbose_name="Number", linkify=True)
    name = tables.Column(verbose_name="What it is")
    serial = tables.Column()
    measures = tables.Column(verbose_name="Measures up to", empty_values=(), orderable=False)
    calibration_due_on = tables.Column(verbose_name="Calibration", empty_values=())

    def before_render(self, request):
        self.soon_days = Firm.current().due_soon_days

    def render_measures(self, record):
        return ", ".join(f"{up_to.normalize():f} {unit}" for unit, up_to in record.ranges)

    def render_calibration_due_on(self, record):
        if record.retired_on:
            return state_mark("retired", f"no longer used since {record.retired_on:%-d %b %Y}")
        return state_mark(*calibration_on(record, timezone.localdate(), self.soon_days))


class InstrumentFilter(django_filters.FilterSet):
    text = django_filters.CharFilter(label="Number, serial or kind", method="named", max_length=60)

    class Meta:
        model = Instrument
        fields = []

    def named(self, instruments, name, value):
        found = Q(own_number__icontains=value) | Q(serial__icontains=value) | Q(name__icontains=value)
        return instruments.filter(found)


class InstrumentList(ListPage):
    roles = STAFF_ROLES
    queryset = Instrument.objects.all()
    table_class = InstrumentTable
    filterset_class = InstrumentFilter
    heading = "Instruments"
    lead_line = "What the firm measures with. A visit keeps which of them it was made with."
    add_url_name = "instrument-create"
    add_word = "Add an instrument"
    empty_text = "No instruments yet. Add those that visits are made with."
    template_name = "inspections/instruments/instrument_list.html"


@for_roles(*STAFF_ROLES)
@require_safe
def calibration_list(request):
    now = timezone.now()
    content = calibration_list_pdf(request.user, now)
    return download(
        content, "application/pdf", file_name("Instruments", "calibration list", f"{timezone.localdate(now)}", "pdf")
    )


@for_roles(*STAFF_ROLES)
@require_safe
def instrument_detail(request, pk):
    instrument = get_object_or_404(Instrument.objects.visible_to(request.user), pk=pk)
    uses = InstrumentUsed.objects.visible_to(request.user).filter(instrument=instrument)
    context = {
        "instrument": instrument,
        "calibration": calibration_on(instrument, timezone.localdate(), Firm.current().due_soon_days),
        "uses": uses.select_related("visit__building").order_by("-visit__planned_on", "-visit")[:USES_SHOWN],
        "attachments": instrument.attachments.visible_to(request.user).for_list(),
        "changes": changes_of(instrument),
    }
    return render(request, "inspections/instruments/instrument_detail.html", context)


class InstrumentCreate(FormPage):
    form_class = InstrumentForm
    heading = "Add an instrument"
    verb = "Add the instrument"
    list_url = reverse_lazy("instrument-list")
    list_word = "Instruments"
    can_add_another = True

    def get_back_url(self, record):
        return self.list_url


class InstrumentUpdate(FormPage):
    form_class = InstrumentForm
    list_url = reverse_lazy("instrument-list")
    list_word = "Instruments"

    def get_record(self):
        return for_change(Instrument.objects.all(), self.request, pk=self.kwargs["pk"])

    def get_heading(self, record):
        return f"Change {record}"

    def get_trail(self, record):
        return [record]
