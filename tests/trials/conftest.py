"""The phones of the browser tests, and a register that breaks off when it is told to."""

import json
from dataclasses import dataclass, field

import pytest
from django.http import HttpResponse

from sites_registry.middleware import WhoAndWhenMiddleware
from tests.browser.conftest import base_url, database_beside_the_loop_of_the_browser  # noqa: F401 -- fixtures


@dataclass
class Posts:
    """What reached the register by POST: (person, path, content type, body), in the order in which it came."""

    taken: list = field(default_factory=list)
    # Of the next posts of answers: "before", the register is gone before it takes them; "after", it takes them and is
    # gone before its answer arrives.
    breaks: list = field(default_factory=list)
    # A browser's own "no network" lets a request through now and then, past a worker: the register is out of reach too.
    is_out_of_reach: bool = False


@pytest.fixture
def posts(monkeypatch):
    posts = Posts()
    whole = WhoAndWhenMiddleware.__call__

    def answer(self, request):
        if posts.is_out_of_reach:
            return HttpResponse(status=502)
        if request.method != "POST" or not request.path.startswith(("/visits/", "/positions/", "/terminals/")):
            return whole(self, request)
        is_of_answers = request.path.endswith("/answers/")
        is_batch = is_of_answers and json.loads(request.body)["answers"]
        if is_of_answers and not is_batch:  # a greeting, by which the phone measures its clock
            return whole(self, request)
        breaks = posts.breaks.pop(0) if is_batch and posts.breaks else ""
        if breaks == "before":
            return HttpResponse(status=502)
        posts.taken.append((request.user.pk, request.path, request.content_type, request.body))
        response = whole(self, request)
        return HttpResponse(status=502) if breaks == "after" else response

    monkeypatch.setattr(WhoAndWhenMiddleware, "__call__", answer)
    return posts
