"""The design check on paper: every finding with state, sentence, figures and source, the caution, a plain file name."""

import io
from datetime import date

import pikepdf
import pytest
from django.urls import reverse
from django.utils import timezone

from tests.reading import as_read
from tests.zones.installations import make_installation, set_figure
from zones.design_check import document as design_reports
from zones.models import Cable

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(town, shared, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda *given: date(2026, 3, 2))
    return shared.built(installation_at_the_hall, town)


def installation_at_the_hall(town):
    return make_installation(town.hall, tag="P7")


@pytest.fixture
def html_of(monkeypatch):
    """The text that goes to the PDF, for reading; the PDF itself is made too."""
    from sites_registry.documents import base

    seen = []
    real = base.render_to_string

    def keep(name, context=None, **options):
        text = real(name, context, **options)
        if name.startswith("zones/design_check/design_check_paper"):
            seen.append(text)
        return text

    monkeypatch.setattr(base, "render_to_string", keep)
    return lambda: as_read(seen[-1].replace("\xa0", " "))


def test_what_is_alike_on_several_circuits_is_printed_once_with_all_of_them(as_, town, html_of):
    made = make_installation(town.hall, tag="P8", circuits=2)
    set_figure(made.panel.position.product_model, output_device_kind="blade", output_device_a=3)
    as_("engineer").get(reverse("panel-design-check-report", args=[made.panel.pk]))
    assert html_of().count("The same with the same figures on 2 circuits: Circuit 1, Circuit 2.") > 1
    assert html_of().count("protective device holds 3 A") == 1


def test_the_report_of_a_panel_is_a_tagged_pdf_with_every_finding(as_, made, html_of):
    Cable.objects.filter(tag="P7W1.1").update(length_m=900)
    response = as_("manager").get(reverse("panel-design-check-report", args=[made.panel.pk]))
    assert response["Content-Type"] == "application/pdf"
    assert "Ropewalk-Hall_design-check-p7_" in response["Content-Disposition"]
    with pikepdf.open(io.BytesIO(response.content)) as pdf:
        assert pdf.Root.MarkInfo.Marked
        width, height = (float(side) for side in pdf.pages[0].MediaBox[2:])
        assert (round(width), round(height)) == (595, 842)  # A4 portrait in points
    text = html_of()
    assert "supports a competent person" in text
    assert "Not met" in text
    assert "source: IEC 60228:2004, tables 1 to 3 (second-hand)" in text
    assert "sized by</dt><dd>EN 12101-10:2005, 72 h" in text
    assert "<dt>Ageing factor and D</dt><dd>from BS 5839-1:2025, because EN 12101-10:2005 prints no formula" in text
    assert "compliant" not in text.lower()


def test_the_report_of_a_building_holds_all_its_panels(as_, made, html_of):
    response = as_("engineer").get(reverse("building-design-check-report", args=[made.building.slug]))
    assert response.status_code == 200
    assert "<h2>Panel P1</h2>" in html_of()
    assert "<h2>Panel P7</h2>" in html_of()


def test_a_report_too_long_for_one_document_is_refused_with_a_way_out(as_, made, monkeypatch):
    monkeypatch.setattr(design_reports, "FINDINGS_PER_DOCUMENT", 3)
    response = as_("engineer").get(reverse("building-design-check-report", args=[made.building.slug]), follow=True)
    assert "Print the design check panel by panel." in response.content.decode()


def test_the_report_of_a_panel_draws_what_the_page_draws_and_names_it_for_who_does_not_see(as_, made, html_of):
    response = as_("manager").get(reverse("panel-design-check-report", args=[made.panel.pk]))
    text = html_of()
    assert text.count('<svg class="plot"') == 3
    assert "Thick lines run, thin lines start" in text
    with pikepdf.open(io.BytesIO(response.content)) as pdf:
        figures = [one for one in pdf.objects if isinstance(one, pikepdf.Dictionary) and one.get("/S") == "/Figure"]
        assert "Voltage along Circuit 1" in [str(figure.get("/Alt")) for figure in figures]


def test_a_report_draws_nothing_where_nothing_can_be_drawn(as_, made, html_of):
    Cable.objects.update(length_m=None)
    made.panel.battery_sets.all().delete()
    as_("manager").get(reverse("panel-design-check-report", args=[made.panel.pk]))
    assert "<h2>Drawn</h2>" not in html_of()
