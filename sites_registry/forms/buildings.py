"""Forms about buildings: particulars and who manages them."""

from django import forms

from sites_registry.forms.base import RegisterForm, RegisterModelForm
from sites_registry.models import Building, Client, Person
from sites_registry.services.buildings import RESERVED_SLUGS, propose_slug


class BuildingForm(RegisterModelForm):
    sentences = {
        "building_name_unique_per_client": (
            "name",
            "This client has a building named {value} already. Open that one, or add what tells them apart.",
        ),
    }

    class Meta:
        model = Building
        fields = [
            "client",
            "name",
            "use",
            "address",
            "country",
            "storeys",
            "height_m",
            "responsible_person",
            "responsible_person_contact",
            "access_notes",
            "roof_access_notes",
            "asbestos_notes",
            "alarm_receiving_centre",
            "fire_strategy_reference",
            "standards_applied",
            "inspection_interval_months",
            "slug",
        ]
        labels = {
            "responsible_person_contact": "How to reach that person",
            "standards_applied": "Standard named by the client",
        }
        help_texts = {
            "responsible_person": "Who answers for fire safety in the building.",
            "access_notes": "Never write a code or where a key hides: say whom to ask.",
            "fire_strategy_reference": "Document, edition, date.",
            "slug": "Small letters, digits and hyphens. Leave it alone and it follows from the name.",
        }

    SECTIONS = (
        ("The building", ["client", "new_client_name", "name", "use", "address", "country", "storeys", "height_m"]),
        ("Who answers", ["responsible_person", "responsible_person_contact", "alarm_receiving_centre"]),
        ("Getting in", ["access_notes", "roof_access_notes", "asbestos_notes"]),
        ("Requirements", ["fire_strategy_reference", "standards_applied", "inspection_interval_months"]),
        ("In the register", ["slug"]),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["slug"].required = False
        self.fields["country"].choices = [("", "not known"), *Building.Country.choices]
        self.fields["slug"].error_messages["unique"] = "Another building has this address. Change it, or empty it."

    @property
    def sections(self):
        """The fields under their headings, for the template."""
        return [(title, [self[name] for name in names if name in self.fields]) for title, names in self.SECTIONS]

    def clean_slug(self):
        slug = self.cleaned_data["slug"].lower()
        if slug in RESERVED_SLUGS:
            raise forms.ValidationError(f"‘{slug}’ is a page of the register. Choose another address, or empty it.")
        return slug

    def clean(self):
        cleaned = super().clean()
        if not cleaned.get("slug") and "slug" not in self.errors and cleaned.get("name"):
            # A stored building keeps its address: links to it are in other people's mails.
            cleaned["slug"] = self.stored.slug if self.instance.pk else propose_slug(cleaned["name"])
        return cleaned


class NewBuildingForm(BuildingForm):
    """The first form of a building: a client not yet registered is registered with it, in one go."""

    new_client_name = forms.CharField(
        label="… or a new client",
        max_length=120,
        required=False,
        help_text="Type the name if the client is not in the list; the particulars can follow.",
    )
    field_order = ["client", "new_client_name"]

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["client"].required = False
        self.fields["client"].empty_label = "choose"

    def clean(self):
        cleaned = super().clean()
        client, new_name = cleaned.get("client"), (cleaned.get("new_client_name") or "").strip()
        if "client" in self.errors or "new_client_name" in self.errors:
            return cleaned
        if client and new_name:
            self.add_error("new_client_name", f"Choose {client} from the list or type a new client, not both.")
        elif not client and not new_name:
            self.add_error("client", "Choose a client, or type a new one below.")
        elif new_name and (known := Client.objects.filter(name__iexact=new_name).first()):
            self.add_error("new_client_name", f"{known.name} is registered already. Choose it from the list.")
        return cleaned

    def _get_validation_exclusions(self):
        excluded = super()._get_validation_exclusions()
        return excluded | {"client"} if self.cleaned_data.get("client") is None else excluded


class AssignManagerForm(RegisterForm):
    person = forms.ModelChoiceField(Person.objects.none(), label="Building manager", empty_label="choose")

    def __init__(self, *args, building, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["person"].queryset = Person.objects.managers().exclude(buildings=building)
        self.fields["person"].label_from_instance = lambda person: f"{person.full_name} ({person.email})"
