"""The calculators, one below the other."""

from typing import NamedTuple

from django.shortcuts import render
from django.urls import path
from django.views.decorators.http import require_safe

from sites_registry.access import STAFF_ROLES, for_roles
from zones.calculators.views.base import CAUTION, CalculatorPage
from zones.calculators.views.battery import BatteryPage
from zones.calculators.views.cable_rating import CableRatingPage
from zones.calculators.views.documents import documents
from zones.calculators.views.faults import RecordedFaultPage, TypedFaultPage
from zones.calculators.views.insulation import InsulationPage
from zones.calculators.views.leaf_force import LeafForcePage
from zones.calculators.views.lines import MonitoredLinePage
from zones.calculators.views.opening_time import OpeningTimePage
from zones.calculators.views.protection import ProtectionPage
from zones.calculators.views.required_area import RequiredAreaPage
from zones.calculators.views.supply import SupplyPage
from zones.calculators.views.vent_area import VentAreaPage
from zones.calculators.views.voltage_drop import VoltageDropPage


class CalculatorEntry(NamedTuple):
    """A calculator of the index: its address, its word in the bar of all, its page."""

    slug: str
    word: str
    page: type[CalculatorPage]

    @property
    def url_name(self):
        return f"calculator-{self.slug}"

    @property
    def heading(self):
        return self.page.heading

    @property
    def lead(self):
        return self.page.lead


PAGES = (
    CalculatorEntry("voltage-drop", "Voltage drop", VoltageDropPage),
    CalculatorEntry("cable-rating", "Cable rating", CableRatingPage),
    CalculatorEntry("protection", "Protection", ProtectionPage),
    CalculatorEntry("battery", "Battery", BatteryPage),
    CalculatorEntry("supply", "Supply", SupplyPage),
    CalculatorEntry("monitored-line", "Line", MonitoredLinePage),
    CalculatorEntry("locate-fault", "Fault on a line", TypedFaultPage),
    CalculatorEntry("opening-time", "Opening time", OpeningTimePage),
    CalculatorEntry("vent-area", "Vent area", VentAreaPage),
    CalculatorEntry("required-area", "Required area", RequiredAreaPage),
    CalculatorEntry("actuator-force", "Force", LeafForcePage),
    CalculatorEntry("insulation", "Insulation", InsulationPage),
)


@for_roles(*STAFF_ROLES)
@require_safe
def index(request):
    """All calculators."""
    return render(request, "zones/calculators/index.html", {"pages": PAGES, "caution": CAUTION})


addresses = [
    path("calculator/", index, name="calculator"),
    path("documents/", documents, name="document-list"),
    *(path(f"calculator/{each.slug}/", each.page.as_view(beside=PAGES), name=each.url_name) for each in PAGES),
    path("panels/<int:pk>/lines/<int:number>/locate-fault/", RecordedFaultPage.as_view(), name="line-locate-fault"),
]
