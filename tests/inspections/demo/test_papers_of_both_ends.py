"""Every paper of the largest and of the smallest building of the demo, sheet by sheet, held against the record."""

import itertools
import subprocess

import pytest
from dateutil.relativedelta import relativedelta
from django.http import QueryDict
from django.utils import timezone

from inspections.demo import scenario
from inspections.demo.systems import SystemBuilder, make_models
from sites_registry.documents.papers import NothingToShow, PaperRequest, SeePage, papers
from tests import builders
from zones.models import Cable, Terminal

NO_SHEETS = {"labels", "label-sheet"}  # what is cut and stuck bears no title block


def size_of(site):
    return sum(zone.vents + zone.detectors for panel in site.panels for zone in panel.zones)


BOTH_ENDS = [pick(scenario.SITES, key=size_of) for pick in (min, max)]

# Words of the record that stand on a paper of this key, wherever on it.
STANDS_ON = {
    "device-schedule": lambda building: building.positions.values_list("tag", flat=True),
    "zone-schedule": lambda building: building.smoke_zones.values_list("name", flat=True),
    "cable-schedule": lambda building: Cable.objects.filter(building=building).values_list("tag", flat=True),
    "wiring-diagram": lambda panel: panel.actuator_circuits.values_list("positions__tag", flat=True),
    "cause-and-effect": lambda panel: panel.smoke_zones.values_list("name", flat=True),
    "terminal-schedule": lambda panel: Terminal.objects.filter(panel=panel).values_list("number", flat=True),
}


def squeezed(text):
    """Without blanks: a cell breaks its words where they no longer fit."""
    return "".join(text.split()).replace("\N{ZERO WIDTH SPACE}", "")


def sheets_of(pdf):
    text = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True).stdout
    return [squeezed(sheet) for sheet in text.decode().split("\f")[:-1]]


@pytest.mark.django_db
@pytest.mark.parametrize("site", BOTH_ENDS, ids=lambda site: site.name)
def test_each_sheet_bears_the_facts_of_its_record(site):
    today, office = timezone.localdate(), builders.make_person("office")
    building = builders.make_building(name=site.name)
    fitted_on = today - relativedelta(months=max(site.commissioned_months_ago, 1), days=10)
    SystemBuilder(building, site, make_models(), fitted_on, office, itertools.count(1), today).build()
    builders.make_job(building)
    asked = PaperRequest(office, timezone.now(), QueryDict())
    looked_at = set()
    for paper in papers().values():
        if paper.key in NO_SHEETS or not paper.of.in_building or paper.files[0].extension != "pdf":
            continue
        for record in paper.of.in_building(building, office):
            try:
                sheets = sheets_of(paper.files[0].make(record, asked).content)
            except (NothingToShow, SeePage):
                continue
            looked_at.add(paper.key)
            for number, sheet in enumerate(sheets, 1):
                for fact in (building.name, building.client.name, f"{number} of {len(sheets)}", str(office)):
                    assert squeezed(fact) in sheet, (paper.key, number, fact)
            words = STANDS_ON.get(paper.key, lambda record: ())(record)
            assert [word for word in words if squeezed(word or "") not in "".join(sheets)] == [], paper.key
    assert looked_at >= set(STANDS_ON)
