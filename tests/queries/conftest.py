import copy

import pytest
from django.db import connection, transaction
from django.test import Client
from django.test.utils import CaptureQueriesContext
from weasyprint import HTML


@pytest.fixture(autouse=True)
def papers_without_layout(monkeypatch):
    """The layout of a paper takes seconds and reads no record; tests/access lays out every paper."""
    monkeypatch.setattr(HTML, "write_pdf", lambda *args, **options: b"%PDF-1.7")


@pytest.fixture
def queries_of(town, shared):
    """`queries_of(fill, address)`: what the page at `address(town)` costs the office where `fill(town)` has been.

    Each filling is built once for all pages and undone after each; it is known by `fill`, a function of a module.
    """

    def queries_of(fill, address, person="office"):
        with transaction.atomic():
            filled = copy.deepcopy(town)
            shared.built(fill, filled)
            client, url = Client(), address(filled)
            client.force_login(filled.people[person], backend="django.contrib.auth.backends.ModelBackend")
            client.get(url)  # the first request of a session writes it
            with CaptureQueriesContext(connection) as queries:
                assert client.get(url).status_code == 200
            transaction.set_rollback(True)
        return [query["sql"] for query in queries]

    return queries_of
