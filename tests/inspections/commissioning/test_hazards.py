"""Every check says what can hurt at it. Source: handbook calculations.md, 'Cautions'."""

import re
import tomllib
from dataclasses import dataclass

import pytest
from django.db import IntegrityError, transaction

from inspections.models import Protocol, ProtocolCheck, VisitKind
from inspections.protocols.edits import (
    STANDARD_PROTOCOLS,
    ProtocolRefused,
    draft_next_version,
    install_standard_protocols,
    publish_protocol,
)
from tests.builders import make_protocol
from zones.engineering.hazards import EVERY_HAZARDS_TEXT, Hazard, hazards_in, hazards_text

pytestmark = pytest.mark.django_db

# What a check tells a person to do → what can then hurt. Written from the handbook's cautions, not from the protocols.
ACTS = {
    Hazard.MOVING: r"\boperat|\bopen (fully|, stop)|\bopens? fully|\bdrive the|\bvents? open\b|while the vent opens"
    r"|(?<!nothing )in alarm\b|raise an alarm|\bsmoke at the head|\bwarm the head|\bwet\b|circuit running"
    r"|let the output run|each position|each function|a real signal|largest load|reached? the end|all actuators"
    r"|line disconnected|unplug an addressed",
    Hazard.LIVE: r"\bbattery terminals|measure the (supply|battery|current|line|voltage)|\bmeasure at\b"
    r"|disconnect the battery|load the battery|switch the mains off|at the panel terminals|tug every core|unplug"
    r"|open the line|date code"
    r"|charger off|drive the terminal|by discharge|: load it",
    Hazard.HEIGHT: r"\bhead\b|\bwet\b|rain sensor|read the serial there|measure at the last one|brackets|last device"
    r"|heater warm",
    Hazard.ALARM: r"\bsmoke at the head|warm the head|alarm system|test key|(?<!nothing )in alarm|against an alarm"
    r"|raise an alarm"
    r"|operate one zone|operate the zone|sounder|take the head off"
    r"|open fully|while the vent opens|all actuators|output run out"  # the panel passes on that it opens its vents
    r"|line disconnected",  # an open line is a fault, or an alarm where so set
}


@dataclass(frozen=True)
class Check:
    """A check as a standard protocol has it in its file."""

    kind: str
    code: str
    instruction: str
    caution: str
    said: str
    hazards: tuple


def every_standard_check():
    for kind in VisitKind:
        for row in tomllib.loads((STANDARD_PROTOCOLS / f"{kind}.toml").read_text(encoding="utf-8"))["check"]:
            texts = [row.get(name, "").lower() for name in ("instruction", "caution", "expected")]
            yield Check(kind, row["code"], *texts[:2], " ".join(texts), tuple(map(Hazard, row["hazards"])))


def test_every_check_of_the_standard_protocols_states_its_hazards_even_if_none():
    install_standard_protocols()  # a check without `hazards` in its file does not install
    assert ProtocolCheck.objects.count() > 100
    assert not ProtocolCheck.objects.filter(hazards="").exists()


@pytest.mark.parametrize("hazard", Hazard)
def test_what_a_check_tells_to_do_carries_its_hazard(hazard):
    told = [check for check in every_standard_check() if re.search(ACTS[hazard], check.instruction)]
    assert told
    unmarked = [f"{check.kind} {check.code}" for check in told if hazard not in check.hazards]
    assert unmarked == []


@pytest.mark.parametrize(
    ("code", "device_kind", "hazards"),
    [
        ("function", "rain_sensor", {"moving", "height"}),  # wet it, on the roof
        ("function", "smoke_detector", {"moving", "height", "alarm"}),  # test smoke may raise an alarm
        ("charger-voltage", "control_panel", {"live"}),  # measured at terminals with the panel on
        ("opening-time", "actuator", {"moving", "height", "alarm"}),  # opened from the panel, which passes it on
        ("end-of-line-resistance", "smoke_detector", {"live", "moving", "alarm"}),  # an open line, where set an alarm
        ("log-book", "control_panel", set()),  # reading a book
    ],
)
def test_hazards_of_checks_that_everybody_knows(code, device_kind, hazards):
    install_standard_protocols()
    check = ProtocolCheck.objects.get(protocol__kind="inspection", code=code, device_kind=device_kind)
    assert set(check.hazard_list) == hazards


def test_a_check_with_a_hazard_carries_its_own_caution_and_one_without_carries_none():
    for check in every_standard_check():
        assert bool(check.caution) is bool(check.hazards), (check.kind, check.code)


@pytest.mark.parametrize(
    ("hazard", "said"),
    [("live", r"\blive\b"), ("moving", r"\bvents?\b"), ("height", r"height|roof"), ("alarm", r"told|receiving centre")],
)
def test_the_caution_speaks_of_each_hazard_it_stands_for(hazard, said):
    for check in every_standard_check():
        if hazard in check.hazards:
            assert re.search(said, check.caution), (check.kind, check.code, check.caution)


def test_no_protocol_speaks_of_a_cover():  # DESIGN.md, plain words: door of the cabinet, or guard over live parts
    for check in every_standard_check():
        assert not re.search(r"\bcovers?\b", check.said), check


def test_the_database_takes_no_hazard_that_the_register_does_not_know():
    check = make_protocol().checks.first()
    for text in ("fire", "moving,live", "live,live"):
        with pytest.raises(IntegrityError, match="protocol_check_hazards_known"), transaction.atomic():
            ProtocolCheck.objects.filter(pk=check.pk).update(hazards=text)


def test_every_text_of_hazards_is_read_back_as_it_was_written():
    assert {hazards_text(hazards_in(text)) for text in EVERY_HAZARDS_TEXT} == {*EVERY_HAZARDS_TEXT} - {""}


# --- registers that had protocols before checks stated their hazards ---


def as_installed_before(kind="inspection"):
    """The standard protocol of a kind as a register of the first edition has it: published, no hazards stated."""
    install_standard_protocols()
    protocol = Protocol.objects.in_force().get(kind=kind)
    Protocol.objects.filter(pk=protocol.pk).update(standard_edition=1)
    protocol.checks.update(hazards="")
    protocol.refresh_from_db()
    return protocol


def test_an_earlier_edition_of_the_standard_is_followed_by_the_present_one():
    former = as_installed_before()
    (made,) = install_standard_protocols()
    former.refresh_from_db()
    assert (made.kind, made.version, made.state) == ("inspection", 2, "published")
    assert (former.state, former.checks.exclude(hazards="").count()) == ("withdrawn", 0)
    assert not made.checks.filter(hazards="").exists()
    assert install_standard_protocols() == []


def test_a_protocol_that_the_office_made_its_own_is_left_alone():
    own = publish_protocol(protocol=draft_next_version(protocol=as_installed_before()))
    assert install_standard_protocols() == []
    assert Protocol.objects.in_force().get(kind="inspection") == own


def test_a_draft_that_the_office_works_on_is_left_alone():
    former = as_installed_before()
    draft_next_version(protocol=former)
    assert install_standard_protocols() == []
    former.refresh_from_db()
    assert former.state == "published"


def test_a_new_version_takes_the_hazards_of_the_standard_where_none_were_stated():
    former = as_installed_before()
    former.checks.filter(code="log-book").update(hazards="height")
    draft = draft_next_version(protocol=former)
    assert draft.checks.get(code="charger-voltage").hazards == "live"
    assert draft.checks.get(code="log-book").hazards == "height"  # what the office stated stays


def test_a_version_is_not_published_while_a_check_does_not_say_what_can_hurt():
    draft = draft_next_version(protocol=as_installed_before())
    draft.checks.filter(code="charger-voltage").update(hazards="")
    with pytest.raises(ProtocolRefused, match=r"'Charger' \(control panel\) does not say what can hurt"):
        publish_protocol(protocol=draft)
    assert Protocol.objects.in_force().get(kind="inspection").version == 1
