"""Leaf, loads and classes go from the records to the findings, and a finding leads to where its figure is entered."""

import pytest

from tests import builders
from tests.zones.installations import make_installation, make_models
from zones.design_check.checked import checked_panel
from zones.design_check.findings import groups_of
from zones.design_check.leaves import leaf_in_words
from zones.engineering import Severity
from zones.models import DeviceKind, Vent

pytestmark = pytest.mark.django_db
FORCES = {"push_force_n": 600, "lower_push_force_n": 560, "pull_force_n": 600, "lower_pull_force_n": 560}
LEAF = {"leaf_mass_kg": 40, "installed_deg": 90, "bracket_from_hinge_mm": 1000, "bracket_depth_mm": 0}
ASKED = {"wind_class_pa": 1500, "cold_class_c": -5}


@pytest.fixture
def made():
    """Two top hung vents of 1.2 m × 1 m in a facade, one actuator each."""
    models = make_models(**{DeviceKind.ACTUATOR.value: FORCES})
    return make_installation(models=models)


def set_on(record, **fields):
    for name, value in fields.items():
        setattr(record, name, value)
    record.save()


def lines_of(made, *codes, person=None):
    checked = checked_panel(made.panel)
    return [
        line for group in groups_of(checked, user=person) for line in group.lines if line.finding.code.startswith(codes)
    ]


def test_a_register_without_loads_and_classes_has_one_quiet_line(made):
    (line,) = lines_of(made, "force.", "class.")
    assert line.finding.severity == Severity.NOTE


def test_weight_wind_and_classes_of_the_records_are_judged(made):
    set_on(made.building.design_basis, wind_opening_pa=100, **ASKED)
    for vent in made.zones[0].vents.all():
        set_on(vent, **LEAF, **ASKED)
    classes, force = lines_of(made, "force.", "class.")
    # 100 N/m² × 1.2 m² × 0.5 m = 60 Nm, and 40 kg × 9.81 × 0.5 m × sin 29° = 95 Nm, over 1 m × cos 14.5°
    assert (
        force.finding.severity == Severity.MEETS
        and "needs 161 N at 500 mm of its stroke (29°)" in force.finding.sentence
    )
    assert classes.finding.severity == Severity.MEETS


def test_a_vents_own_load_goes_before_that_of_the_building(made):
    set_on(made.building.design_basis, wind_opening_pa=100)
    first, second = made.zones[0].vents.order_by("tag")
    set_on(first, **LEAF)
    set_on(second, **LEAF, wind_opening_pa=2000)
    (force,) = lines_of(made, "force.", person=builders.make_person("office"))
    assert force.finding.severity == Severity.FAIL and second.tag in force.finding.sentence
    assert force.url.startswith(f"/vents/{second.pk}/")


def test_what_lacks_leads_to_vent_basis_or_data_sheet(made):
    office = builders.make_person("office")
    first, second = made.zones[0].vents.order_by("tag")
    set_on(first, **LEAF)
    set_on(made.building.design_basis, **ASKED)
    set_on(second, snow_pa=0)  # now a force is asked for there too, and its weight lacks
    urls = {
        line.finding.inputs[0].name: line.url for line in lines_of(made, "force.", "class.", person=office) if line.url
    }
    assert f"/{made.building.slug}/design-basis/" in urls["wind against opening"]
    assert urls["declared classes WL and T"].startswith(f"/vents/{first.pk}/")
    of_leaf = next(url for what, url in urls.items() if "angle of installation" in what)
    assert of_leaf.startswith(f"/vents/{second.pk}/")


def test_an_area_declared_above_the_frame_leads_to_its_vent(made):
    second = made.zones[0].vents.order_by("tag")[1]
    set_on(second, aerodynamic_area_m2=9, tested_angle_deg=20)
    (line,) = lines_of(made, "area.declared", person=builders.make_person("office"))
    assert line.url.startswith(f"/vents/{second.pk}/")


def test_a_hinge_that_contradicts_the_kind_of_leaf_is_refused_and_nothing_changed(as_, made):
    vent = made.zones[0].vents.order_by("tag")[0]
    typed = {"tag": vent.tag, "leaf": "top_hung", "width_mm": 1200, "height_mm": 1000, "seen_version": vent.row_version}
    answer = as_("engineer").post(f"/vents/{vent.pk}/change/", typed | {"hinge_at": "lower"})
    assert answer.status_code == 422
    assert "A top hung leaf turns about its upper edge." in answer.content.decode()
    assert as_("engineer").post(f"/vents/{vent.pk}/change/", typed | {"hinge_at": "upper"}).status_code == 302
    vent.refresh_from_db()
    assert vent.hinge_at == "upper"


def test_weight_and_declared_classes_stand_in_a_line():
    assert leaf_in_words(Vent(leaf_mass_kg=40, **ASKED)) == "leaf 40 kg, WL 1500, T(-05)"
    assert leaf_in_words(Vent(cold_class_c=0)) == "T(00)"
    assert leaf_in_words(Vent()) == ""
