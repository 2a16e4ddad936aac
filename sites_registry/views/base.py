"""Bases of the views that make and change one record: who, which, form, service, answer."""

import uuid
from dataclasses import dataclass

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.forms.models import model_to_dict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.functional import cached_property
from django.utils.http import url_has_allowed_host_and_scheme
from django.views import View

from sites_registry.access import Role, RoleMixin
from sites_registry.services.refusals import Refused
from sites_registry.services.submissions import led_to, remember, submission_key_of

MOST_OF_AN_ADDRESS = 300  # as stored with a taken form
MOST_DIGITS_OF_A_KEY = 18
TAKEN_ALREADY = (
    "This form was sent before: what it made is stored, and nothing was made a second time. "
    "For another one, open the form afresh."
)


def local_next(request):
    """The page of this site that `?next=` names, or None: another site, another scheme and nonsense are passed over."""
    url = request.GET.get("next", "")
    if len(url) > MOST_OF_AN_ADDRESS or not url.startswith("/"):
        return None
    return url if url_has_allowed_host_and_scheme(url, allowed_hosts=None) else None


@dataclass(frozen=True)
class TrailPage:
    """A page that is no record, as a step of a trail."""

    word: str
    url: str

    def __str__(self):
        return self.word

    def get_absolute_url(self):
        return self.url


class _NotTaken(Exception):
    """The form holds errors or was only previewed: nothing is stored."""


class FormPage(RoleMixin, View):
    """A page with one form. Subclasses give `form_class`, `heading`, `verb`; hooks in the order of a request."""

    roles = (Role.OFFICE,)
    form_class = None
    template_name = "components/form_page.html"
    heading = ""
    lead_line = ""
    verb = "Save"
    is_grave = False  # what cannot be taken back has a button of another look
    saved_message = ""
    list_url = None
    list_word = None
    can_add_another = False
    kept_fields = ()  # of the record just made; 'add another' fills them in again

    def get_record(self):
        """The record to change, locked for this transaction when posting; None to make a new one."""
        return None

    def form_arguments(self):
        """Further keyword arguments of the form."""
        return {}

    def get_trail(self, record):
        return []

    def get_heading(self, record):
        return self.heading

    def get_lead_line(self, record):
        return self.lead_line

    def get_back_url(self, record):
        return record.get_absolute_url() if record and record.pk else None

    def perform(self, form):
        """Save through the form or a service; returns the record, or None to show the page again (a preview)."""
        return form.save()

    def success_url(self, record):
        return record.get_absolute_url()

    def leads_to(self, record):
        """Where a taken form leads: the same form again, the page that it was reached from (`?next=`), or its own."""
        if self.can_add_another and "add_another" in self.request.POST:
            here = self.address_of_another(record)
            if len(here) <= MOST_OF_AN_ADDRESS:
                return here
        return local_next(self.request) or self.success_url(record)

    def address_of_another(self, record):
        """This form again; with `kept_fields` it names the record to be like, so that a reload keeps them too."""
        query = self.request.GET.copy()
        if self.kept_fields:
            query["like"] = record.pk
        return f"{self.request.path}?{query.urlencode()}" if query else self.request.path

    @cached_property
    def like(self):
        """The record that the next one is to be like, where the address names one that this person may see."""
        key = self.request.GET.get("like", "")
        if not self.kept_fields or not key.isdecimal() or len(key) > MOST_DIGITS_OF_A_KEY:
            return None
        records = self.form_class._meta.model._default_manager.visible_to(self.request.user)
        return records.filter(pk=key).first()

    def following(self, record):
        """What counts on from the record just made: its number, its tag."""
        return {}

    def kept(self):
        """Initial values of the next of several like records."""
        if self.like is None:
            return {}
        kept = {name: model_to_dict(self.like, [name]).get(name, getattr(self.like, name)) for name in self.kept_fields}
        return kept | self.following(self.like)

    def get(self, request, *args, **kwargs):
        self.take_up()
        return self.show(self.make_form())

    def post(self, request, *args, **kwargs):
        key = submission_key_of(request)
        if url := led_to(key=key, person=request.user):
            messages.info(request, TAKEN_ALREADY)
            return redirect(url)
        try:
            with transaction.atomic():
                self.take_up()
                form = self.make_form(data=request.POST, files=request.FILES)
                record = self.take(form)
                url = self.leads_to(record)
                if self.makes_new:
                    remember(key=key, person=request.user, led_to=url)
        except _NotTaken:
            # Shown after the rollback: a transaction that is to be rolled back answers no further query.
            if form.errors and (url := led_to(key=key, person=request.user)):  # sent twice, taken while this one waited
                return redirect(url)
            return self.show(form, status=422 if form.errors else 200)
        except IntegrityError:
            if url := led_to(key=key, person=request.user):  # the same form, sent twice at the same moment
                return redirect(url)
            form.add_error(
                None,
                "Somebody saved the same thing at the same moment. Check what is stored, then try again.",
            )
            return self.show(form, status=422)
        self.announce(record)
        return redirect(url)

    def take(self, form):
        """Check and perform, or roll everything back with the reasons at the form."""
        if not form.is_valid():
            raise _NotTaken
        try:
            record = self.perform(form)
        except Refused as refusal:
            form.add_error(refusal.field if refusal.field in form.fields else None, refusal.reasons)
        except ValidationError as error:  # a service checks again what it stores; somebody may have been quicker
            form.add_error(None, error.messages)
        if form.errors or record is None:
            raise _NotTaken
        return record

    def announce(self, record):
        """Say what was done; called once it is committed."""
        if self.saved_message:
            messages.success(self.request, self.saved_message.format(record=record))

    def take_up(self):
        self.record = self.get_record()
        # Asked now: a record begun by the page (a circuit of this panel) has a key once it is saved.
        self.makes_new = self.record is None or self.record.pk is None

    def make_form(self, **bound):
        arguments = dict(self.form_arguments())
        if self.record is not None:
            arguments["instance"] = self.record
        if kept := self.kept():
            arguments["initial"] = {**arguments.get("initial", {}), **kept}
        form = self.form_class(**arguments, **bound)
        if kept and not bound:
            first = next((name for name in form.fields if name not in self.kept_fields), None)
            if first:
                form.fields[first].widget.attrs["autofocus"] = True
        return form

    def get_context(self, form):
        return {
            "form": form,
            "heading": self.get_heading(self.record),
            "verb": self.verb,
            "makes_new": self.makes_new,
            "submission_key": self.request.POST.get("submission_key") or uuid.uuid4(),
            "trail": self.get_trail(self.record),
            "record": self.record,
            "lead_line": self.get_lead_line(self.record),
            "back_url": local_next(self.request) or self.get_back_url(self.record),
            "list_url": self.list_url,
            "list_word": self.list_word,
            "can_add_another": self.can_add_another,
            "is_grave": self.is_grave,
            "kept_from": self.like,
        }

    def show(self, form, status=200):
        return render(self.request, self.template_name, self.get_context(form), status=status)


def for_change(queryset, request, **lookup):
    """The visible record of this address, or 404; locked while the request posts, so that edits do not cross."""
    queryset = queryset.visible_to(request.user)
    if request.method == "POST":
        # `of=self`: PostgreSQL cannot lock the empty side of an outer join.
        model = queryset.model
        record = get_object_or_404(queryset, **lookup)
        return model._default_manager.select_for_update(of=("self",)).get(pk=record.pk)
    return get_object_or_404(queryset, **lookup)
