"""The support pages of what is fitted and wired open, list and save, and delete nothing."""

import pytest
from django.contrib import admin
from django.urls import reverse

from tests import builders
from zones import models

pytestmark = pytest.mark.django_db

MAKE = {
    models.ControlPanel: lambda town: town.panel,
    models.BatterySet: lambda town: builders.make_battery_set(town.panel),
    models.PanelSetting: lambda town: builders.make_setting(town.panel),
    models.ActuatorCircuit: lambda town: builders.make_circuit(town.panel),
    models.DetectionLine: lambda town: builders.make_line(town.panel, smoke_zone=town.zone),
    models.SmokeZone: lambda town: town.zone,
    models.VentGroup: lambda town: builders.make_vent_group(town.zone),
    models.Vent: lambda town: builders.make_vent(town.zone),
    models.Terminal: lambda town: builders.make_terminal(town.panel),
    models.Cable: lambda town: builders.make_cable(town.hall),
    models.Core: lambda town: builders.make_core(builders.make_cable(town.hall)),
    models.CoreEnd: lambda town: builders.connect(
        builders.make_core(builders.make_cable(town.hall)), builders.make_terminal(town.panel)
    ).ends.get(),
    models.TerminalLink: lambda town: models.TerminalLink.objects.create(
        first=builders.make_terminal(town.panel), second=builders.make_terminal(town.panel)
    ),
    models.EndOfLinePart: lambda town: models.EndOfLinePart.objects.create(
        first=builders.make_terminal(town.panel), second=builders.make_terminal(town.panel)
    ),
    models.CauseAndEffectRule: lambda town: builders.make_rule(town.panel, smoke_zone=town.zone),
}


@pytest.fixture
def support(as_, town):
    office = town.people["office"]
    office.is_staff = office.is_superuser = True
    office.save()
    return as_("office")


@pytest.mark.parametrize("model", MAKE)
def test_support_opens_a_record_and_cannot_delete_it(support, town, model):
    record, name = MAKE[model](town), f"admin:zones_{model._meta.model_name}"
    assert support.get(reverse(f"{name}_changelist"), {"q": "Ropewalk"}).status_code == 200
    assert support.get(reverse(f"{name}_change", args=[record.pk])).status_code == 200
    assert support.post(reverse(f"{name}_delete", args=[record.pk]), {"post": "yes"}).status_code == 403
    assert support.get(reverse(f"{name}_add")).status_code == 403
    assert model.objects.filter(pk=record.pk).exists()


def test_every_noun_that_is_fitted_or_wired_has_a_support_page():
    assert set(MAKE) <= set(admin.site._registry)
