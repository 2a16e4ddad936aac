"""Fittings: a unit comes to a position, leaves it, is swapped for another, or moves. Nothing is overwritten."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format

from sites_registry.models import Building
from sites_registry.services.refusals import Refused
from zones.models import Fitting, Position, Unit


class FittingRefused(Refused):
    """The unit cannot be fitted or taken off as asked; `field` is "unit", "position", "date" or "reason"."""

    def __init__(self, *reasons, field="unit"):
        super().__init__(*reasons, field=field)


@transaction.atomic
def fit(*, position, unit, fitted_on, by=None, reason=""):
    """Fit a unit at a position that has none. Asked twice for the same, it returns the fitting that stands.

    `by` is who does it: it decides which building a refusal may name. `reason` is kept in the history.
    Raises FittingRefused.
    """
    position, unit = _locked(position, unit)
    standing = _open_fitting(position=position)
    if standing and standing.unit_id == unit.pk and standing.fitted_on == fitted_on:
        return standing
    _check_date(fitted_on)
    _check_position_is_free(position, standing)
    _check_unit_is_free(unit, by)
    return _open(position, unit, fitted_on, by, reason)


@transaction.atomic
def take_off(*, position, removed_on, by=None, reason=""):
    """Take the present unit off a position; returns the closed fitting. Raises FittingRefused."""
    position, _ = _locked(position)
    return _close(_present_fitting(position), removed_on, by, reason)


@transaction.atomic
def swap(*, position, new_unit, swapped_on, by=None, reason=""):
    """Take the present unit off a position and fit another, on one day; returns the new fitting.

    Asked twice for the same, it returns the fitting that stands. Raises FittingRefused.
    """
    position, new_unit = _locked(position, new_unit)
    standing = _present_fitting(position)
    if standing.unit_id == new_unit.pk:
        if standing.fitted_on == swapped_on:
            return standing
        raise FittingRefused(
            f"Serial '{new_unit.serial}' is the unit that {position.tag} has now. Enter the serial of the other unit."
        )
    _check_date(swapped_on)
    _check_unit_is_free(new_unit, by)
    _close(standing, swapped_on, by, reason)
    return _open(position, new_unit, swapped_on, by, reason)


@transaction.atomic
def move(*, unit, to_position, moved_on, by=None, reason=""):
    """Take a unit off where it is and fit it at another position, on one day; returns the new fitting.

    Raises FittingRefused.
    """
    to_position, unit = _locked(to_position, unit)
    standing = _open_fitting(unit=unit)
    if standing is None:
        raise FittingRefused(f"Serial '{unit.serial}' is fitted nowhere now. Fit it instead of moving it.")
    if standing.position_id == to_position.pk:
        raise FittingRefused(
            f"Serial '{unit.serial}' is fitted at {to_position.tag} already. Choose another position.", field="position"
        )
    _check_date(moved_on)
    _check_position_is_free(to_position, _open_fitting(position=to_position))
    _close(standing, moved_on, by, reason)
    return _open(to_position, unit, moved_on, by, reason)


@transaction.atomic
def exchange(*, position, other, exchanged_on, by=None, reason=""):
    """Put the units of two positions each at the other, on one day: both records were mixed up.

    Both fittings are closed and two are opened, so that nothing is overwritten; returns the new fittings, that of
    `position` first. Raises FittingRefused.
    """
    if position.pk == other.pk:
        raise FittingRefused(f"{position.tag} cannot be exchanged with itself. Choose another.", field="position")
    for key in sorted((position.pk, other.pk)):  # always in this order, so that two people never wait for each other
        Position.objects.select_for_update(of=("self",)).get(pk=key)
    (position, _), (other, _) = _locked(position), _locked(other)
    here, there = _present_fitting(position), _present_fitting(other)
    if here.unit.product_model_id != there.unit.product_model_id:
        raise FittingRefused(
            f"{position.tag} and {other.tag} have units of different models. Only identical units are exchanged.",
            field="position",
        )
    for fitting in (here, there):
        _close(fitting, exchanged_on, by, reason)
    return _open(position, there.unit, exchanged_on, by, reason), _open(other, here.unit, exchanged_on, by, reason)


def where_it_is(*, fitting, viewer):
    """Where an open fitting stands, in words, naming the building only to a viewer who may see it."""
    since = f"since {date_format(fitting.fitted_on)}"
    building = fitting.position.building
    if viewer is None or not Building.objects.visible_to(viewer).filter(pk=building.pk).exists():
        return f"at another position {since}"
    return f"in {building.name} at {fitting.position.tag} {since}"


def _locked(position, unit=None):
    # Always the position first, then the unit, so that two people never wait for each other. SQLite ignores row
    # locks; there the immediate transaction makes the second wait.
    position = Position.objects.select_for_update(of=("self",)).select_related("building").get(pk=position.pk)
    if unit is not None:
        Unit.objects.select_for_update(of=("self",)).get(pk=unit.pk)
        unit = Unit.objects.with_model().get(pk=unit.pk)
    return position, unit


def _open_fitting(**lookup):
    return Fitting.objects.open().select_related("unit", "position__building").filter(**lookup).first()


def _present_fitting(position):
    standing = _open_fitting(position=position)
    if standing is None:
        raise FittingRefused(f"{position.tag} has no unit now. Fit one instead.", field="position")
    return standing


def _check_date(day):
    if day > timezone.localdate():
        raise FittingRefused(
            f"{date_format(day)} lies ahead. Record a unit on the day it is fitted or later.", field="date"
        )
    if day.year < 1950:
        raise FittingRefused(f"{date_format(day)} cannot be right. Correct the year.", field="date")


def _check_position_is_free(position, standing):
    if position.retired_on:
        raise FittingRefused(
            f"{position.tag} is no longer used since {date_format(position.retired_on)}. Take the position back first.",
            field="position",
        )
    if standing:
        raise FittingRefused(
            f"{position.tag} has unit '{standing.unit.serial}' since {date_format(standing.fitted_on)}. "
            "Take that unit off first, or swap it.",
            field="position",
        )


def _check_unit_is_free(unit, by):
    standing = _open_fitting(unit=unit)
    if standing:
        raise FittingRefused(
            f"Serial '{unit.serial}' is fitted {where_it_is(fitting=standing, viewer=by)}. "
            "Take it off there first, or correct the serial."
        )


def _close(fitting, removed_on, by, reason):
    _check_date(removed_on)
    if removed_on < fitting.fitted_on:
        raise FittingRefused(
            f"Unit '{fitting.unit.serial}' was fitted at {fitting.position.tag} on {date_format(fitting.fitted_on)}; "
            f"it cannot come off on {date_format(removed_on)}. Correct the date.",
            field="date",
        )
    fitting.removed_on, fitting.removed_by, fitting.reason_removed = removed_on, by, reason
    fitting._change_reason = reason or None
    _clean(fitting)
    fitting.save()
    return fitting


def _open(position, unit, fitted_on, by, reason):
    _check_nothing_stood_later(position.fittings, fitted_on, f"{position.tag} had a unit")
    _check_nothing_stood_later(unit.fittings, fitted_on, f"Serial '{unit.serial}' was fitted elsewhere")
    fitting = Fitting(position=position, unit=unit, fitted_on=fitted_on, fitted_by=by)
    fitting._change_reason = reason or None
    _clean(fitting)
    fitting.save()
    return fitting


def _check_nothing_stood_later(fittings, fitted_on, what):
    last = fittings.filter(removed_on__gt=fitted_on).order_by("-removed_on").first()
    if last:
        raise FittingRefused(
            f"{what} until {date_format(last.removed_on)}. Choose that day or a later one.", field="date"
        )


def _clean(fitting):
    try:
        # The rules between rows are asked above and held by the database; here only the row itself.
        fitting.full_clean(validate_unique=False, validate_constraints=False)
    except ValidationError as error:
        fields = {"reason_removed": "reason", "fitted_on": "date", "removed_on": "date"}
        field, messages = next(iter(error.message_dict.items()))
        raise FittingRefused(*messages, field=fields.get(field, "unit")) from error
