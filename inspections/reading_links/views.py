"""Let somebody without a log-in read a certificate or a hand-over; look at its openings; withdraw the link."""

from django.conf import settings
from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.html import format_html
from django.views.decorators.http import require_POST, require_safe

from inspections.models import Certificate, HandOver, ReadingLink
from inspections.reading_links.edits import make_link, withdraw_link
from inspections.reading_links.forms import ReadingLinkForm
from sites_registry.access import Role, for_roles
from sites_registry.views.base import FormPage

MOST_SHOWN = 200


class _LinkCreate(FormPage):
    roles = (Role.OFFICE, Role.MANAGER)
    form_class = ReadingLinkForm
    template_name = "inspections/reading_links/reading_link_form.html"
    verb = "Make the link"

    def get_record(self):
        self.paper = self.get_paper()
        return None

    def get_trail(self, record):
        return [self.paper.building, self.paper]

    def get_heading(self, record):
        return "Let somebody read it"

    def get_lead_line(self, record):
        return f"{self.paper} · {self.paper.building}"

    def get_back_url(self, record):
        return self.paper.get_absolute_url()

    def perform(self, form):
        link, self.secret = make_link(paper=self.paper, by=self.request.user, **form.cleaned_data)
        return link

    def announce(self, link):
        address = settings.PUBLIC_URL + reverse("read-page", args=[self.secret])
        messages.warning(
            self.request,
            format_html(
                "Give this link to {}. Whoever has it reads the paper until {}. "
                '<code class="link-to-hand-over">{}</code>It is shown this once; another one can be made at any time.',
                link.reader,
                f"{link.ends_on:%-d %b %Y}",
                address,
            ),
        )


class CertificateLinkCreate(_LinkCreate):
    def get_paper(self):
        certificates = Certificate.objects.visible_to(self.request.user).with_building()
        return get_object_or_404(certificates, number=self.kwargs["number"])


class HandOverLinkCreate(_LinkCreate):
    def get_paper(self):
        hand_overs = HandOver.objects.visible_to(self.request.user).with_people()
        return get_object_or_404(hand_overs, pk=self.kwargs["pk"])


@require_safe
def reading_link_detail(request, pk):
    link = get_object_or_404(ReadingLink.objects.visible_to(request.user).with_openings(), pk=pk)
    context = {
        "link": link,
        "building": link.building,
        "openings": link.openings.all()[:MOST_SHOWN],
        "may_withdraw": link.state == "readable" and request.user.role in (Role.OFFICE, Role.MANAGER),
    }
    return render(request, "inspections/reading_links/reading_link_detail.html", context)


@for_roles(Role.OFFICE, Role.MANAGER)
@require_POST
def reading_link_withdraw(request, pk):
    link = get_object_or_404(ReadingLink.objects.visible_to(request.user), pk=pk)
    link = withdraw_link(link=link, by=request.user)
    messages.success(request, f"The link for {link.reader} opens nothing any more.")
    return redirect(link)
