"""What the check says with the same figures of several circuits is told once, with all of them; the counts stay."""

import pytest
from django.urls import reverse

from tests.zones.design_check.test_pages import text_of
from tests.zones.installations import make_installation, set_figure
from zones.design_check.checked import checked_panel
from zones.engineering import Severity
from zones.models import Cable

pytestmark = pytest.mark.django_db

PROTECTED = {"output_device_kind": "blade", "supply_fault_a": 60, "supply_fuse_kind": "blade", "supply_fuse_a": 30}
LAID = {"insulation": "thermoplastic", "method": "C", "grouped_circuits": 1, "ambient_c": 30}


def three_circuits():
    made = make_installation(circuits=3, tag="P8")
    set_figure(made.panel.position.product_model, output_device_a=3, **PROTECTED)
    set_figure(made.panel.battery_sets.get().product_model, internal_resistance_mohm=9)
    Cable.objects.filter(actuator_circuit__isnull=False).update(**LAID)
    return made


@pytest.fixture
def made(shared):
    return shared.built(three_circuits)


def shown(as_, made, severity="all"):
    return as_("engineer").get(reverse("panel-design-check", args=[made.panel.pk]) + f"?severity={severity}")


def lines_of(response, code):
    return [line for group in response.context["groups"] for line in group.lines if line.finding.code == code]


def test_the_same_of_three_circuits_is_told_once_with_all_of_them(as_, made):
    response = shown(as_, made)
    (line,) = lines_of(response, "protection.overload")
    assert [name for name, _ in line.circuits] == ["Circuit 1", "Circuit 2", "Circuit 3"]
    assert "The same with the same figures on 3 circuits: Circuit 1 , Circuit 2 , Circuit 3 ." in text_of(response)
    heading = next(group.heading for group in response.context["groups"] if line in group.lines)
    assert heading == "P8: protection of outputs"


def test_the_counts_are_those_of_all_findings(as_, made):
    findings = checked_panel(made.panel).findings
    assert sum(one.code == "protection.overload" for one in findings) == 3
    boxes = {severity: number for severity, _, _, number, _ in shown(as_, made).context["boxes"]}
    assert boxes["meets"] == sum(one.severity == Severity.MEETS for one in findings)


def test_a_circuit_with_other_figures_stands_by_itself(as_, made):
    Cable.objects.filter(tag="P8W3.2").update(length_m=90)
    response = shown(as_, made)
    together, alone = sorted(
        lines_of(response, "protection.disconnection"), key=lambda line: not hasattr(line, "circuits")
    )
    assert [name for name, _ in together.circuits] == ["Circuit 1", "Circuit 2"]
    assert alone.finding.subject == "Circuit 3"


# Where a remedy is carried out ----------------------------------------------------------------------------------------


def failure(as_, made):
    (line,) = lines_of(shown(as_, made, "fail"), "protection.disconnection")
    return line


def test_a_failure_that_a_smaller_fuse_mends_leads_to_the_device_of_the_output(as_, made):
    """27 A at the end of 2 × 40 m, and a fuse of 15 A opens in time from 30 A."""
    Cable.objects.filter(tag="P8W1.2").update(length_m=30)
    made.circuits[0].device_a = 15
    made.circuits[0].save()
    line = failure(as_, made)
    assert "mm² throughout or fit 2 A blade fuse" in line.finding.sentence
    assert line.word == "Change the device of the output"
    assert reverse("circuit-update", args=[made.circuits[0].pk]) in line.url
    ((url, word),) = line.also  # a larger section would do as well
    assert word == "Enter the cable runs" and reverse("circuit-cables", args=[made.circuits[0].pk]) in url
