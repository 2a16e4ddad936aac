"""The first log-in of a real register: every check holds, and none is offered to be passed over."""

import pytest
from django.contrib.auth import authenticate
from django.core.management import CommandError, call_command

from sites_registry.access import Role
from sites_registry.models import Person
from tests.builders import make_person

GOOD_PASSWORD = "seven-gulls-on-a-quay"


@pytest.fixture
def answers(monkeypatch):
    """`answers(typed…, passwords=(…))`: what somebody types at the terminal, in this order."""

    def type_in(*typed, passwords=(GOOD_PASSWORD, GOOD_PASSWORD)):
        lines, hidden = iter(typed), iter(passwords)
        monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
        monkeypatch.setattr("builtins.input", lambda question: next(lines))
        monkeypatch.setattr("sites_registry.management.commands.first_log_in.getpass", lambda question: next(hidden))

    return type_in


def test_it_makes_an_office_log_in_with_support_access(db, answers, rf):
    answers("Orla Finch", " Orla@tarn.example ")
    call_command("first_log_in")
    person = Person.objects.get()
    assert (person.email, person.full_name, person.role) == ("orla@tarn.example", "Orla Finch", Role.OFFICE)
    assert person.is_staff and person.is_superuser
    assert authenticate(rf.post("/"), username="orla@tarn.example", password=GOOD_PASSWORD) == person


@pytest.mark.parametrize(
    ("weak", "sentence"),
    [
        (("short",), "too short"),
        (("orla@tarn.example",), "too similar"),
        (("password1234",), "too common"),
        ((GOOD_PASSWORD, "another-one-altogether"), "The two passwords are not the same."),
    ],
)
def test_a_weak_password_is_told_and_asked_for_again_with_no_way_round(db, answers, capsys, weak, sentence):
    answers("Orla Finch", "orla@tarn.example", passwords=(*weak, GOOD_PASSWORD, GOOD_PASSWORD))
    call_command("first_log_in")
    said = capsys.readouterr()
    assert sentence in said.err
    assert "ypass" not in said.out + said.err
    assert Person.objects.get().check_password(GOOD_PASSWORD)


def test_name_and_e_mail_are_asked_for_until_they_make_sense(db, answers, capsys):
    make_person(email="office@tarn.example")
    answers("", "Orla Finch", "orla", "OFFICE@tarn.example", "orla@tarn.example")
    call_command("first_log_in")
    said = capsys.readouterr().err
    assert "cannot be blank" in said and "valid email address" in said and "has a log-in already" in said
    assert Person.objects.filter(email="orla@tarn.example").exists()


def test_without_a_terminal_it_makes_nothing(db, monkeypatch):
    monkeypatch.setattr("sys.stdin.isatty", lambda: False, raising=False)
    with pytest.raises(CommandError, match="needs a terminal"):
        call_command("first_log_in")
    assert not Person.objects.exists()
