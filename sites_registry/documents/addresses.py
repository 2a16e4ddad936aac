"""Addresses of all papers, and the one view that gives them out."""

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.urls import path
from django.utils import timezone
from django.views.decorators.http import require_safe

from sites_registry.access import for_roles
from sites_registry.documents.papers import MEDIA_TYPES, PaperRequest, SeePage, papers
from sites_registry.downloads import download


def view_of(paper, file):
    """The view that makes a paper in one of its forms and gives it out, to those who may see what it is of."""

    @for_roles(*paper.roles)
    @require_safe
    def give_out(request, **ids):
        record = get_object_or_404(paper.of.records(request.user), **ids)
        asked = PaperRequest(by=request.user, now=timezone.now(), query=request.GET)
        try:
            made = file.make(record, asked)
        except SeePage as instead:
            for sentence in instead.sentences:
                messages.error(request, sentence)
            return redirect(instead.url)
        return download(made.content, MEDIA_TYPES[file.extension], paper.name_of(file, record, made, asked))

    return give_out


def addresses_of(paper):
    return [path(paper.address(file), view_of(paper, file), name=paper.url_name(file)) for file in paper.files]


urlpatterns = [address for paper in papers().values() for address in addresses_of(paper)]
