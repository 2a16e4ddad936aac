"""`manage.py design_check`: findings to the output, progress to the error output, the exit status says what stands."""

import json
from datetime import date

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from tests.zones.installations import make_installation
from zones.models import Cable

pytestmark = pytest.mark.django_db


@pytest.fixture
def made(shared, monkeypatch):
    monkeypatch.setattr(timezone, "localdate", lambda: date(2026, 3, 2))
    return shared.built(make_installation)


def break_cable():
    Cable.objects.filter(tag="P1W1.1").update(length_m=900)


def test_it_ends_well_when_nothing_is_not_met(made, capsys):
    call_command("design_check", whole=True)
    out, progress = capsys.readouterr()
    assert out.startswith(f"{made.building}: ")
    assert "competent person" in out
    assert f"[1/1] {made.building}" in progress


def test_it_ends_with_1_when_something_is_not_met(made, capsys):
    break_cable()
    with pytest.raises(CommandError, match="Not met: 2 findings, in 1 of 1 buildings.") as stopped:
        call_command("design_check", whole=True)
    assert stopped.value.returncode == 1
    assert "  P1, not met: Circuit 1: the cable cannot deliver this power" in capsys.readouterr().out


def test_json_holds_every_finding_with_figures_and_source(made, capsys):
    make_installation(models=made.models)
    call_command("design_check", whole=True, form="json")
    rows = json.loads(capsys.readouterr().out)
    assert len(rows) == 2
    row = next(row for row in rows if row["slug"] == made.building.slug)
    finding = next(one for one in row["panels"][0]["findings"] if one["code"] == "cable.voltage")
    assert (finding["severity"], finding["source"]["document"], finding["source"]["edition"]) == (
        "meets",
        "IEC 60228",
        "2004",
    )
    assert {"name": "minimum voltage", "value": 18.0, "unit": "V"} in finding["inputs"]
    assert row["counts"]["fail"] == 0


def test_json_of_an_empty_register_is_an_empty_list(capsys):
    call_command("design_check", whole=True, form="json")
    assert json.loads(capsys.readouterr().out) == []


def test_one_building_is_checked_alone(made, capsys):
    other = make_installation(models=made.models)
    call_command("design_check", building=other.building.slug)
    out = capsys.readouterr().out
    assert str(other.building) in out
    assert f"{made.building}:" not in out


def test_an_unknown_building_and_wrong_use_end_with_2(made, capsys):
    with pytest.raises(CommandError, match="There is no building 'nowhere'") as stopped:
        call_command("design_check", building="nowhere")
    assert stopped.value.returncode == 2
    with pytest.raises(CommandError, match="required"):
        call_command("design_check")
