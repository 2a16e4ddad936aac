"""The form by which a floor plan is kept, and what the plan page sends: places, a run, taking off."""

from django import forms

from sites_registry.forms.base import RegisterForm, RegisterModelForm
from zones.editing.forms import past_or_today
from zones.floor_plans.places import Move
from zones.models import FloorPlan

MOST_POINTS = 100  # of the line of a run
LARGEST_KEY = 2**53  # that a script writes exactly


class FloorPlanForm(RegisterForm):
    storey = forms.CharField(
        max_length=40, required=False, help_text="As the positions name it. Empty: for positions that name no storey."
    )
    file = forms.FileField(
        allow_empty_file=True,  # told by the service, with what to do
        max_length=200,
        help_text="PDF, PNG, JPEG or WebP.",
        widget=forms.ClearableFileInput(attrs={"accept": ".pdf,.png,.jpg,.jpeg,.webp"}),
        error_messages={"required": "Choose a file."},
    )
    page_number = forms.IntegerField(
        label="Page of the PDF", min_value=1, max_value=9999, required=False, help_text="If it has several."
    )
    title = forms.CharField(label="Number or title of the drawing", max_length=120, required=False)
    drawn_on = forms.DateField(label="Date of the drawing", required=False, validators=[past_or_today])

    def __init__(self, *args, storeys=(), **kwargs):
        super().__init__(*args, **kwargs)
        self.storeys = storeys
        self.fields["storey"].widget.attrs["list"] = "storeys"


class FloorPlanChangeForm(RegisterModelForm):
    class Meta:
        model = FloorPlan
        fields = ["storey", "title", "drawn_on"]

    def __init__(self, *args, storeys=(), **kwargs):
        super().__init__(*args, **kwargs)
        self.storeys = storeys
        self.fields["storey"].widget.attrs["list"] = "storeys"
        self.fields["drawn_on"].validators.append(past_or_today)


class PlaceForm(forms.Form):
    """One position placed by figures, in per cent of width and height: what the page offers without a script too."""

    position = forms.IntegerField(min_value=0, max_value=LARGEST_KEY)
    x_percent = forms.FloatField(min_value=0, max_value=100, label="from the left, %")
    y_percent = forms.FloatField(min_value=0, max_value=100, label="from the top, %")


class NotReadable(ValueError):
    """What was sent is not what the page sends."""


def moves_in(body):
    """The moves that a page sends: [{position, x, y, seen}], without x and y to take it off. Raises NotReadable."""
    try:
        return [_move_in(one) for one in _list_in(body["moves"])]
    except (KeyError, TypeError, AttributeError) as error:
        raise NotReadable from error


def run_in(body):
    """First and last position and the points of the line: {first, last, points: [[x, y], …]}. Raises NotReadable."""
    try:
        points = [tuple(_part(value) for value in point) for point in _list_in(body["points"])]
        if len(points) > MOST_POINTS or any(len(point) != 2 for point in points):
            raise NotReadable
        return {"first_pk": _key(body["first"]), "last_pk": _key(body["last"]), "points": points}
    except (KeyError, TypeError) as error:
        raise NotReadable from error


def _move_in(one):
    seen = one.get("seen")
    x, y = one.get("x"), one.get("y")
    if (x is None) != (y is None):
        raise NotReadable
    return Move(
        _key(one["position"]),
        None if x is None else _part(x),
        None if y is None else _part(y),
        None if seen is None else _key(seen),
    )


def _list_in(value):
    if not isinstance(value, list):
        raise NotReadable
    return value


def _key(value):
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= LARGEST_KEY:
        raise NotReadable
    return value


def _part(value):
    # A comparison that is false of NaN and infinity too.
    if isinstance(value, bool) or not isinstance(value, int | float) or not -1 <= value <= 2:
        raise NotReadable
    return float(value)
