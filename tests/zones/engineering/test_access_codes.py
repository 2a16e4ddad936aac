"""No access code and no password becomes a setting; trade practice, no source."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from tests import builders
from zones.engineering.access_codes import faults_of_setting
from zones.models import PanelSetting

pytestmark = pytest.mark.django_db

CODES = [
    ("Access code", "4711", ""),
    ("Engineer code", "changed", ""),
    ("Codes of level 3", "see book", ""),
    ("PIN", "0000", ""),
    ("Password", "x", ""),
    ("Passwort Ebene 2", "x", ""),
    ("Zugangscode", "1", ""),
]
VALUES = [
    ("Level 3", "code 4711", ""),
    ("Access level 2", "4711", ""),
    ("Keypad", "1 2 3 4", ""),
    ("Note", "pin: 4711", ""),
    ("Note", "Sk3ll#mere", ""),
    ("Engineer menu", "password is on the lid", ""),
]
SETTINGS = [
    ("Run time, all circuits", "75", "s"),
    ("Rain closes after", "30", "s"),
    ("Keypad locks after", "300", "s"),
    ("Access level for reset", "2", ""),
    ("Date code shown", "yes", ""),
    ("Fault code delay", "1000", "ms"),
    ("Pin 4 of the bus", "terminated", ""),
    ("Decoder address", "1200", ""),
    ("Bus speed", "19200", ""),
    ("Supply", ">= 24 V", ""),
    ("Unlocked by rain", "no", ""),
]


@pytest.mark.parametrize("setting", CODES)
def test_a_name_that_speaks_of_a_code_is_refused_at_the_name(setting):
    faults = faults_of_setting(*setting)
    assert "never kept in the register" in faults["name"]


@pytest.mark.parametrize("setting", VALUES)
def test_a_value_that_looks_like_a_code_is_refused_without_repeating_it(setting):
    faults = faults_of_setting(*setting)
    assert list(faults) == ["value"]
    assert setting[1] not in faults["value"]


@pytest.mark.parametrize("setting", SETTINGS)
def test_an_ordinary_setting_is_left_alone(setting):
    assert faults_of_setting(*setting) == {}


def test_the_model_refuses_it_whoever_saves():
    setting = PanelSetting(panel=builders.make_panel(), name="Engineer code", value="4711")
    with pytest.raises(ValidationError) as refused:
        setting.full_clean()
    assert set(refused.value.message_dict) == {"name", "value"}


def test_the_form_says_why_and_stores_nothing(as_, town):
    url = reverse("setting-create", args=[town.panel.pk])
    typed = {"name": "Access level 2", "value": "4711"}
    response = as_("engineer").post(url, typed)
    assert response.status_code == 422
    assert "looks like an access code or a password" in response.content.decode()
    assert not PanelSetting.objects.exists()
    assert as_("engineer").post(url, {"name": "Rain closes after", "value": "30", "unit": "s"}).status_code == 302
    assert PanelSetting.objects.get().value == "30"
