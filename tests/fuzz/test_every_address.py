"""Nothing that a person can type, change in an address, or send twice ends in a server error.

Every address × forms as the page offers them, with some values replaced by strange ones. Seeded, so that a failure
can be repeated; `make fuzz FUZZ_REQUESTS=20000` sends more, with another FUZZ_SEED other ones.
"""

import os
import random

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.urls import NoReverseMatch, reverse

from tests.access.test_urls import EXPECTED, address_of
from tests.fuzz.page_forms import PageForm, forms_of
from tests.fuzz.strange_values import BEYOND_ANY_DATABASE, COMMON_PARAMETERS, some_value

SEED = os.environ.get("FUZZ_SEED", "2026")
# What stores nothing and composes whole papers costs a second each; it reads the address, so that is what is tried.
SLOW = tuple(name for name in EXPECTED if name.endswith(("-pdf", "-report")))
LEFT_OUT = {"log-out", *(name for name in SLOW if name.startswith("building-"))}
NAMES = [name for name in EXPECTED if name not in LEFT_OUT]
REQUESTS_EACH = max(2, int(os.environ.get("FUZZ_REQUESTS", "1000")) // len(NAMES))
UPLOADS = (
    ("list.csv", b"tag;kind\nCP1;manual call point\n"),
    ("list.xlsx", b"PK\x03\x04 broken"),
    ("a.pdf", b"%PDF-1.7\n"),
    ("x\x00.csv", b"\x00\x01"),
    ("", b""),
    ("photo.jpg", b"\xff\xd8\xff\xe0 broken"),
    ("list.csv", b"\xff\xfe" + b"a;b\n" * 50),
    ("l" * 300 + ".csv", b"tag,kind\n=1+1,vent\n"),
)


class Sender:
    """Sends one request after another, each undone, and keeps what was answered with an error."""

    def __init__(self, client):
        self.client, self.failures, self.sent = client, [], 0

    def send(self, method, address, data):
        self.sent += 1
        try:
            with transaction.atomic():
                response = getattr(self.client, method)(address, data)
                status = response.status_code
                list(response.streaming_content) if response.streaming else response.content
                transaction.set_rollback(True)
        except Exception as error:  # whatever it is: the page fell over
            status = f"{type(error).__name__}: {error}"[:300]
        if status == 500 or isinstance(status, str):
            self.failures.append(
                (method, address[:200], {name: str(value)[:80] for name, value in data.items()}, status)
            )


def change_some(chance, form):
    """The data of a form with some values replaced, left out or given twice: few of a form that is checked as a whole,
    many of an address, whose parameters are read one by one."""
    data = {name: list(values) for name, values in form.values.items()}
    names = sorted({*data, *form.offered}) or ["q"]
    most = len(names) if form.method == "get" and chance.random() < 0.5 else 3
    for name in chance.sample(names, chance.randint(1, min(len(names), most))):
        what = chance.random()
        if what < 0.1:
            data.pop(name, None)
        else:
            data[name] = [
                some_value(chance, form.offered.get(name), name in form.numbers) for _ in range(2 if what < 0.2 else 1)
            ]
    for name in form.files:
        if chance.random() < 0.9:
            file_name, content = chance.choice(UPLOADS)
            data[name] = [SimpleUploadedFile(file_name or "x", content)]
    return {name: values if len(values) != 1 else values[0] for name, values in data.items()}


def page_forms(client, address):
    with transaction.atomic():
        response = client.get(address)
        transaction.set_rollback(True)
    if response.status_code != 200 or response.streaming or "html" not in response.get("Content-Type", ""):
        return []
    return forms_of(response.content.decode())


def encodable(value):
    """Half a pair of surrogates cannot leave a browser; the replacement character that it sends instead can."""
    if isinstance(value, str):
        return value.encode("utf-8", "replace").decode()
    return [encodable(each) for each in value] if isinstance(value, list) else value


@pytest.mark.parametrize("url_name", NAMES)
def test_no_address_answers_strange_values_with_an_error(client, town, url_name):
    chance = random.Random(f"{SEED} {url_name}")
    address = address_of(url_name, town)
    client.force_login(
        town.people["engineer" if EXPECTED[url_name][3] == "open" else "office"],
        backend="django.contrib.auth.backends.ModelBackend",
    )
    forms = page_forms(client, address)
    sender = Sender(client)
    posts = [form for form in forms if form.method == "post"] or [PageForm("post", "")]
    gets = [form for form in forms if form.method == "get"]
    gets.append(PageForm("get", "", {name: [] for name in COMMON_PARAMETERS}))
    for number in range(2 if url_name in SLOW else REQUESTS_EACH):
        form = chance.choice(posts if number % 2 else gets)
        data = {name[:200]: encodable(value) for name, value in change_some(chance, form).items()}
        action = form.action if form.action.startswith("/") else address
        sender.send(form.method, action.split("?")[0], data)
    assert not sender.failures


def strange_arguments(arguments):
    """The address of a page with one of its parts replaced at a time."""
    strange = {int: (0, 2**31, BEYOND_ANY_DATABASE, 10**30), str: ("a-b_c", "x" * 300, "0", BEYOND_ANY_DATABASE)}
    for position, argument in enumerate(arguments):
        for value in strange.get(type(argument), ()):
            yield [*arguments[:position], value, *arguments[position + 1 :]]


@pytest.mark.parametrize("names", [list(EXPECTED)[part::16] for part in range(16)], ids=range(16))
def test_no_identifier_in_an_address_answers_with_an_error(client, town, names, monkeypatch):
    """Identifiers beyond what the database can hold are not found, like any other that is not there."""
    taken = []
    monkeypatch.setattr(
        "tests.access.test_urls.reverse", lambda name, args=(): taken.extend(args) or reverse(name, args=args)
    )
    client.force_login(town.people["office"], backend="django.contrib.auth.backends.ModelBackend")
    sender = Sender(client)
    for url_name in names:
        taken.clear()
        with transaction.atomic():
            address_of(url_name, town)
            for arguments in strange_arguments(taken):
                try:
                    address = reverse(url_name, args=arguments)
                except NoReverseMatch:  # the address itself takes no such thing
                    continue
                sender.send("get", address, {})
                sender.send("post", address, {})
            transaction.set_rollback(True)  # each address finds the town as it was
    assert sender.sent > 2 * len(names) and not sender.failures
