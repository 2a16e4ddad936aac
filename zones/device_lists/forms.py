"""Forms of the device-list import: the file, where its table stands, what its columns are."""

from django import forms
from openpyxl.utils import get_column_letter

from sites_registry.forms.base import RegisterForm
from zones.device_lists.columns import COLUMNS
from zones.device_lists.mapping import header_of, samples


class DeviceListForm(RegisterForm):
    file = forms.FileField(
        label="Device list (.xlsx or .csv)",
        allow_empty_file=True,  # told by the reader, with what to do
        max_length=200,
        widget=forms.ClearableFileInput(attrs={"accept": ".xlsx,.csv,.txt,.tsv"}),
        error_messages={"required": "Choose the file that holds the device list."},
    )


class TableForm(RegisterForm):
    """Which sheet holds the list, and in which row its headings stand."""

    sheet = forms.TypedChoiceField(label="Sheet", coerce=int)
    header_row = forms.IntegerField(label="Row with the headings", min_value=1, max_value=1_048_576)

    def __init__(self, *args, run, **kwargs):
        initial = {"sheet": run.sheet_index, "header_row": run.header_row}
        super().__init__(*args, initial=initial, **kwargs)
        self.fields["sheet"].choices = [
            (index, f"{sheet['name'] or 'The table'} ({len(sheet['rows'])} rows)")
            for index, sheet in enumerate(run.sheets)
        ]
        self.fields["sheet"].widget.attrs["class"] = "form-select"
        self.fields["header_row"].widget.attrs["class"] = "form-control"


class ColumnsForm(RegisterForm):
    """One select per column of the file."""

    def __init__(self, *args, run, **kwargs):
        super().__init__(*args, **kwargs)
        choices = [("", "– leave out –"), *((column.key, column.heading) for column in COLUMNS)]
        headings = header_of(run.sheet, run.header_row)
        self.columns = []
        for index, key in enumerate(run.column_keys):
            heading = headings[index] if index < len(headings) else ""
            found = samples(run.sheet, run.header_row, index)
            if not heading and not found:
                continue
            name, letter = f"column_{index}", get_column_letter(index + 1)
            select = forms.Select(attrs={"class": "form-select", "aria-label": f"Column {letter}: {heading}"})
            self.fields[name] = forms.ChoiceField(
                choices=choices, required=False, initial=key, label=heading or f"column {letter}", widget=select
            )
            self.columns.append({"letter": letter, "heading": heading, "samples": found, "name": name})
        self.width = len(run.column_keys)

    def rows(self):
        """For the page: column, what it holds, its field."""
        return [{**column, "field": self[column["name"]]} for column in self.columns]

    def keys(self):
        """A column key, or "", for every column of the table."""
        return [self.cleaned_data.get(f"column_{index}", "") for index in range(self.width)]
