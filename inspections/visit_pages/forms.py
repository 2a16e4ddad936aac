"""Plan a visit, change it, call it off, finish it."""

from datetime import timedelta

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from inspections.models import SignOff, Visit, VisitKind
from inspections.sign_offs.standing import stood_of
from inspections.sign_offs.strokes import NO_SIGNATURE, SignatureError, read_signature
from sites_registry.forms.base import RegisterForm, RegisterModelForm
from sites_registry.models import Building, Job, Person
from sites_registry.words import counted

EXTENT_HELP = (
    "‘What falls due’ asks each check that would be overdue before the next visit, by its interval in the protocol, "
    "and of checks that are spread over the visits a share, those longest not tested first."
)
FURTHEST_AHEAD = timedelta(days=5 * 366)
FURTHEST_BACK = timedelta(days=366)
# What the end of a visit asks, by field; the phone asks the same before it keeps a sign-off without a network.
LACKS = {
    "how": "Choose how the visit was signed off, or that nobody was there.",
    "witness": "Enter who signed, and as what: the responsible person, say, or the caretaker.",
    "why_nobody": "Say why nobody signed, and who was told that the visit is over.",
    "is_restored": "See to this before you leave; then tick it.",
    "notice_given": "Tell the responsible person in writing before you leave; say whom.",
    "signature": NO_SIGNATURE,
}
SIGNING = "Whoever signs has been shown the numbers and defects above. It takes nothing over from the competent person."


def check_planned_on(day, stored=None):
    """Refuse a date that can only be a slip of the keyboard; what is stored already stands."""
    today = timezone.localdate()
    if day != stored and not today - FURTHEST_BACK <= day <= today + FURTHEST_AHEAD:
        raise ValidationError(
            f"{day:%-d %b %Y} is more than a year ago or five years ahead. Correct the date.", code="planned_on"
        )
    return day


class _VisitForm(RegisterModelForm):
    class Meta:
        model = Visit
        fields = ["building", "kind", "extent", "planned_on", "engineer", "job", "witness", "instruments", "notes"]
        labels = {"planned_on": "Date", "witness": "Witness"}
        help_texts = {
            "job": "Empty: the newest open job of this kind at the building; a new one is opened when there is none.",
            "witness": "Who is there for the building, as far as known.",
            "extent": EXTENT_HELP,
        }

    def __init__(self, *args, user, **kwargs):
        super().__init__(*args, **kwargs)
        if "building" in self.fields:
            self.fields["building"].queryset = Building.objects.visible_to(user).order_by("name")
        self.fields["extent"].required = False  # without an answer it asks everything
        self.fields["engineer"].queryset = Person.objects.engineers()
        self.fields["engineer"].empty_label = "not decided yet"
        self.fields["job"].queryset = self.jobs(user)

    def clean_extent(self):
        return self.cleaned_data["extent"] or self.instance.extent

    def clean_planned_on(self):
        return check_planned_on(self.cleaned_data["planned_on"], self.instance.pk and self.stored.planned_on)


class PlanVisitForm(_VisitForm):
    """A new visit; the building may come from the address (`?building=`)."""

    def jobs(self, user):
        self.fields["job"].required = False
        self.fields["job"].empty_label = "the open job of this kind, or a new one"
        jobs = Job.objects.visible_to(user).open().with_building().order_by("building__name", "-number")
        if building := self.initial.get("building"):
            jobs = jobs.filter(building=building)
        self.fields["job"].label_from_instance = lambda job: (
            f"{job.number} {job.get_kind_display()}, {job.building.name}"
        )
        return jobs

    def clean(self):
        cleaned = super().clean()
        job, building = cleaned.get("job"), cleaned.get("building")
        if cleaned.get("extent") == Visit.Extent.DUE and cleaned.get("kind") not in (None, VisitKind.INSPECTION):
            self.add_error("extent", "Only a periodic inspection can ask what is due. Choose 'every check'.")
        if job and building and job.building_id != building.pk:
            self.add_error("job", f"Job {job} is for {job.building}. Choose a job of {building}, or none.")
        return cleaned

    def _post_clean(self):
        """The visit is made by the service, which knows its job; here only what was typed is checked."""

    def validate_unique(self):
        pass


class VisitForm(_VisitForm):
    """A visit that is planned or under way; building and kind stay, for its test points rest on them."""

    class Meta(_VisitForm.Meta):
        fields = ["extent", "planned_on", "engineer", "job", "witness", "instruments", "notes"]
        help_texts = {name: _VisitForm.Meta.help_texts[name] for name in ("witness", "extent")}

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        if self.instance.started_at or self.instance.kind != VisitKind.INSPECTION:
            del self.fields["extent"]  # its test points stand, or it can only ask everything

    def jobs(self, user):
        # A closed job stays on offer where it is the one on record.
        jobs = Job.objects.visible_to(user).filter(building=self.instance.building_id)
        return jobs.open() | jobs.filter(pk=self.instance.job_id)


class CallOffForm(RegisterForm):
    reason = forms.CharField(max_length=400, label="Why it is called off", widget=forms.Textarea)


class FinishForm(RegisterModelForm):
    """What is left to say at the end of a visit, and who was shown it."""

    how = forms.ChoiceField(
        choices=SignOff.How.choices,
        widget=forms.RadioSelect,
        label="For the building",
        error_messages={"required": LACKS["how"]},
    )
    signature = forms.CharField(
        required=False, max_length=400_000, widget=forms.Textarea(attrs={"hidden": True}), label="Signature"
    )
    why_nobody = forms.CharField(
        required=False, max_length=400, widget=forms.Textarea, label="Why nobody signed, and who was told"
    )
    notice_given = forms.CharField(
        required=False,
        max_length=400,
        label="Notice of impaired points handed to, and how",
        help_text="On paper, by e-mail or read out; with the interim measures, before you leave.",
    )
    is_restored = forms.BooleanField(
        label="All vents closed, panel reset and normal, disablements restored, linked plant back in service, "
        "occupants and receiving centre told, log book written",
        error_messages={"required": LACKS["is_restored"]},
    )

    class Meta:
        model = Visit
        fields = ["witness", "instruments", "notes"]
        labels = {"witness": "Name and function of who signs"}
        help_texts = {
            "witness": "Who was there for the building.",
            "instruments": "Serial and calibration due of each instrument used.",
        }

    def __init__(self, *args, stood=None, **kwargs):
        super().__init__(*args, **kwargs)
        self.stood = stood or stood_of(self.instance)

    @property
    def groups(self):
        signed = ("notice_given", "how", "witness", "why_nobody", "signature")  # a phone shows those that are asked
        return [
            ("What was used and seen", "", [self[name] for name in ("instruments", "notes")]),
            ("Before you leave", "", [self["is_restored"]]),
            ("Signed off", SIGNING, [self[name] for name in signed]),
        ]

    def clean(self):
        cleaned = super().clean()
        how = cleaned.get("how")
        if how == SignOff.How.GLASS:
            try:
                cleaned["signature"] = read_signature(cleaned.get("signature") or "")
            except SignatureError as error:
                self.add_error("signature", str(error))
        if how in (SignOff.How.GLASS, SignOff.How.PAPER) and not cleaned.get("witness", "").strip():
            self.add_error("witness", LACKS["witness"])
        if how == SignOff.How.NOBODY and not cleaned.get("why_nobody", "").strip():
            self.add_error("why_nobody", LACKS["why_nobody"])
        if self.stood.impaired and not cleaned.get("notice_given", "").strip():
            count = counted(len(self.stood.impaired), "impaired points")
            self.add_error("notice_given", f"{count.capitalize()} left open. {LACKS['notice_given']}")
        return cleaned
