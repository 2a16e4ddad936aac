"""What a phone needs of the register itself to go on without a network: its worker, and the page that says so."""

import json
from hashlib import sha256

from csp.constants import SELF
from csp.utils import build_policy
from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import AnonymousUser
from django.contrib.staticfiles.finders import get_finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

WORKER = "js/field/worker.js"
SHELL_SUFFIXES = (".css", ".js", ".woff2", ".svg", ".wasm")
# For pages that read codes: what does it is WebAssembly.
READS_CODES = {"script-src": [SELF, "'wasm-unsafe-eval'"]}


def shell():
    """Addresses of everything that a page may ask for beside itself, as pages name them."""
    names = sorted(
        name
        for finder in get_finders()
        for name, storage in finder.list([])
        if name.endswith(SHELL_SUFFIXES)
        and not name.startswith(("admin/", "django_", "debug_toolbar/"))
        and name != WORKER
    )
    return [staticfiles_storage.url(name) for name in dict.fromkeys(names)]


@login_not_required
@require_GET
@never_cache
def field_worker(request):
    """The script that answers for the register where there is no network; above all pages, so that it may."""
    text = _text_of(WORKER)
    known = {
        "shell": shell(),
        "statics": settings.STATIC_URL,
        "areNamedByContent": not settings.DEBUG and hasattr(staticfiles_storage, "hashed_files"),
        "withoutNetwork": reverse("without-network"),
        "loggedOut": [reverse("log-in"), reverse("log-out")],
        "policy": policy(),
        "policyOfReader": policy(READS_CODES),
    }
    version = sha256((text + json.dumps(known)).encode()).hexdigest()[:12]
    head = f"const REGISTER = {json.dumps(known | {'version': version})};\n"
    return HttpResponse(head + text, content_type="text/javascript; charset=utf-8")


def policy(more=None):
    """The content security policy, always in one order: another text would be another worker."""
    return "; ".join(sorted(build_policy(update=more).split("; ")))


def _text_of(name):
    for finder in get_finders():
        if path := finder.find(name):
            with open(path, encoding="utf-8") as file:
                return file.read()
    raise FileNotFoundError(name)


@login_not_required
@require_GET
def without_network(request):
    """Shown in place of a page that was not taken along; it names nothing and nobody."""
    return render(request, "sites_registry/without_network.html", {"user": AnonymousUser()})
