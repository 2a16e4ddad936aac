"""Identical units told apart: tag ↔ serial ↔ terminal ↔ seen to move (handbook process.md §2)."""

import uuid
from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from zones.models import Fitting, PlaceConfirmation
from zones.positions.identical_units import groups_of, identical_units_of, panel_terminals_of, progress_of
from zones.positions.place_confirmations import (
    PlaceConfirmationRefused,
    confirm_by_operating,
    confirm_by_serial,
    exchange_and_confirm,
)
from zones.units.fittings import FittingRefused, exchange, swap

pytestmark = pytest.mark.django_db


@pytest.fixture
def identical_units(town):
    """M1 to M3 of one model on one output of P1, terminals -X1:1 and -X1:2; A-1 to A-3 are their serials."""
    town.model = builders.make_product_model("actuator", name="KA 1")
    town.circuit = builders.make_circuit(town.panel, number=1)
    for number in (1, 2, 3):
        position = builders.make_position(
            town.hall, "actuator", tag=f"M{number}", actuator_circuit=town.circuit, smoke_zone=town.zone
        )
        builders.fit(position, builders.make_unit(town.model, serial=f"A-{number}"))
        setattr(town, f"m{number}", position)
    cable = builders.make_cable(town.hall, actuator_circuit=town.circuit, feeds=town.m1)
    for number in (1, 2):
        terminal = builders.make_terminal(town.panel, block="X1", number=str(number))
        builders.connect(builders.make_core(cable, number=number), near=terminal)
    return town


def serial_at(position):
    return Fitting.objects.open().get(position=position).unit.serial


def prove_url(position):
    return reverse("place-confirmation-create", args=[position.pk])


def post(client, position, **typed):
    data = {"submission_key": str(uuid.uuid4()), "method": "serial", **typed}
    return client.post(prove_url(position), data)


class TestGroups:
    def test_units_of_one_model_at_two_positions_are_told_apart(self, identical_units):
        (group,) = groups_of(identical_units.hall)
        assert (group.name, group.kind_words, group.total, group.proven) == ("Tarn Works KA 1", "actuator", 3, 0)

    def test_a_single_unit_needs_no_telling_apart(self, town):
        assert groups_of(town.hall) == []  # SD1 alone

    def test_another_kind_another_building_and_a_no_longer_used_position_do_not_count(self, identical_units):
        switch = builders.make_product_model("ventilation_switch")
        for _ in range(2):
            builders.fit(builders.make_position(identical_units.hall, "ventilation_switch"), builders.make_unit(switch))
        builders.fit(
            builders.make_position(identical_units.mill, "actuator"), builders.make_unit(identical_units.model)
        )
        identical_units.m3.retired_on = date(2026, 1, 1)
        identical_units.m3.save()
        assert [group.total for group in groups_of(identical_units.hall)] == [2]

    def test_progress_counts_units_not_proofs(self, identical_units):
        fitting = identical_units.m1.fittings.get()
        builders.prove_place(fitting)
        builders.prove_place(fitting, method="operated", note="-X1:1 driven, M1 opened")
        assert progress_of(identical_units.hall) == (1, 3)

    def test_the_terminals_at_the_panel_are_those_of_the_output(self, identical_units):
        found = panel_terminals_of([identical_units.m2, identical_units.detector])
        assert found == {identical_units.m2.pk: "P1 -X1:1, -X1:2", identical_units.detector.pk: ""}

    def test_identical_units_of_a_unit_are_the_others_of_its_model(self, identical_units):
        assert identical_units_of(identical_units.m1.fittings.get()).count() == 2
        assert identical_units_of(identical_units.fitting).count() == 0


class TestProving:
    def test_the_serial_on_record_proves_the_place(self, identical_units):
        confirmation = confirm_by_serial(
            position=identical_units.m1, serial="a-1", by=identical_units.people["engineer"]
        )
        assert (confirmation.fitting, confirmation.method, confirmation.by) == (
            identical_units.m1.fittings.get(),
            "serial",
            identical_units.people["engineer"],
        )

    def test_the_serial_of_a_identical_unit_is_refused_and_names_it(self, identical_units):
        with pytest.raises(
            PlaceConfirmationRefused, match="on record at M2: the two records seem to be exchanged"
        ) as refused:
            confirm_by_serial(position=identical_units.m1, serial="A-2", by=identical_units.people["engineer"])
        assert refused.value.other.position == identical_units.m2
        assert not PlaceConfirmation.objects.exists()

    def test_a_serial_that_nobody_knows_is_refused(self, identical_units):
        with pytest.raises(PlaceConfirmationRefused, match="knows no unit 'Z-9'") as refused:
            confirm_by_serial(position=identical_units.m1, serial="Z-9", by=identical_units.people["engineer"])
        assert refused.value.other is None

    def test_a_unit_in_store_or_elsewhere_is_refused_without_an_exchange(self, identical_units):
        builders.make_unit(identical_units.model, serial="A-8")
        builders.fit(
            builders.make_position(identical_units.mill, "actuator"),
            builders.make_unit(identical_units.model, serial="A-9"),
        )
        for serial, words in (("A-8", "fitted nowhere"), ("A-9", "in Mill House at")):
            with pytest.raises(PlaceConfirmationRefused, match=words) as refused:
                confirm_by_serial(position=identical_units.m1, serial=serial, by=identical_units.people["engineer"])
            assert refused.value.other is None

    def test_operating_it_needs_a_note(self, identical_units):
        confirmation = confirm_by_operating(
            position=identical_units.m1, note="-X1:1 driven, M1 opened", by=identical_units.people["engineer"]
        )
        assert confirmation.method == "operated"

    def test_a_swap_asks_for_a_new_proof(self, identical_units):
        confirm_by_serial(position=identical_units.m1, serial="A-1", by=identical_units.people["engineer"])
        assert progress_of(identical_units.hall) == (1, 3)
        swap(
            position=identical_units.m1,
            new_unit=builders.make_unit(identical_units.model),
            swapped_on=timezone.localdate(),
        )
        assert progress_of(identical_units.hall) == (0, 3)

    def test_a_position_without_a_unit_cannot_be_proven(self, identical_units):
        with pytest.raises(PlaceConfirmationRefused, match="has no unit on record"):
            confirm_by_serial(position=identical_units.call_point, serial="A-1", by=identical_units.people["engineer"])


class TestExchange:
    def exchange(self, identical_units, serial="A-2"):
        return exchange_and_confirm(
            position=identical_units.m1, other=identical_units.m2, serial=serial, by=identical_units.people["engineer"]
        )

    def test_both_records_change_at_once_and_nothing_is_overwritten(self, identical_units):
        self.exchange(identical_units)
        assert (serial_at(identical_units.m1), serial_at(identical_units.m2)) == ("A-2", "A-1")
        closed = Fitting.objects.get(position=identical_units.m1, unit__serial="A-1")
        assert closed.removed_on == timezone.localdate()
        assert closed.reason_removed == "Records exchanged: serial A-2 was read at M1"

    def test_the_place_where_it_was_read_is_proven_and_the_other_is_not(self, identical_units):
        confirmation = self.exchange(identical_units)
        assert confirmation.fitting == Fitting.objects.open().get(position=identical_units.m1)
        assert not PlaceConfirmation.objects.filter(fitting__position=identical_units.m2).exists()

    def test_asked_twice_the_records_stay_exchanged(self, identical_units):
        assert self.exchange(identical_units) == self.exchange(identical_units)
        assert serial_at(identical_units.m1) == "A-2"

    def test_a_identical_unit_that_moved_on_meanwhile_is_not_exchanged(self, identical_units):
        with pytest.raises(PlaceConfirmationRefused, match="not on record at M2 any more"):
            self.exchange(identical_units, serial="A-3")
        assert (serial_at(identical_units.m1), serial_at(identical_units.m2)) == ("A-1", "A-2")

    def test_units_of_different_models_are_not_exchanged(self, identical_units):
        with pytest.raises(FittingRefused, match="different models"):
            exchange(position=identical_units.m1, other=identical_units.detector, exchanged_on=timezone.localdate())
        assert serial_at(identical_units.m1) == "A-1"

    def test_half_an_exchange_is_none(self, identical_units):
        fitting = identical_units.m2.fittings.get()
        Fitting.objects.filter(pk=fitting.pk).update(fitted_on=date(2099, 1, 1))
        with pytest.raises(FittingRefused, match="cannot come off"):
            exchange(position=identical_units.m1, other=identical_units.m2, exchanged_on=timezone.localdate())
        assert serial_at(identical_units.m1) == "A-1"


class TestPages:
    def test_the_list_shows_each_with_tag_place_terminal_and_serial(self, as_, identical_units):
        page = as_("manager").get(reverse("identical-unit-list", args=[identical_units.hall.slug])).content.decode()
        for words in ("Told apart 0 of 3", "M1", "A-1", "P1 circuit 1", "P1 -X1:1, -X1:2", "place not confirmed"):
            assert words in page, words
        assert prove_url(identical_units.m1) not in page  # a manager reads
        assert (
            prove_url(identical_units.m1)
            in as_("engineer").get(reverse("identical-unit-list", args=[identical_units.hall.slug])).content.decode()
        )

    def test_a_building_without_identical_units_says_so(self, as_, town):
        page = as_("engineer").get(reverse("identical-unit-list", args=[town.hall.slug])).content.decode()
        assert "No two actuators, call points or detectors" in page

    def test_a_proof_leads_to_the_next_identical_unit_and_at_last_to_the_group(self, as_, identical_units):
        client = as_("engineer")
        assert post(client, identical_units.m1, serial="A-1").url == prove_url(identical_units.m2)
        assert post(client, identical_units.m3, serial="A-3").url == prove_url(identical_units.m2)
        assert post(client, identical_units.m2, serial="A-2").url.startswith(
            reverse("identical-unit-list", args=[identical_units.hall.slug])
        )
        assert progress_of(identical_units.hall) == (3, 3)

    def test_a_label_with_elements_is_read(self, as_, identical_units):
        assert post(as_("engineer"), identical_units.m1, serial="(01)09501101530003(21)A-1").status_code == 302

    def test_a_double_click_proves_once(self, as_, identical_units):
        client, key = as_("engineer"), str(uuid.uuid4())
        for _ in range(2):
            assert post(client, identical_units.m1, serial="A-1", submission_key=key).status_code == 302
        assert PlaceConfirmation.objects.count() == 1

    def test_the_serial_of_a_identical_unit_offers_the_exchange(self, as_, identical_units):
        client, url = as_("engineer"), reverse("place-exchange", args=[identical_units.m1.pk, identical_units.m2.pk])
        response = post(client, identical_units.m1, serial="A-2")
        assert response.status_code == 422 and url in response.content.decode()
        client.post(url, {"serial": "A-2"})
        assert serial_at(identical_units.m1) == "A-2"

    def test_an_unknown_serial_offers_none(self, as_, identical_units):
        response = post(as_("engineer"), identical_units.m1, serial="Z-9")
        assert response.status_code == 422
        assert "knows no unit" in response.content.decode()
        assert "Exchange the two records" not in response.content.decode()

    @pytest.mark.parametrize(
        ("typed", "sentence"),
        [
            ({}, "Type or scan the serial"),
            ({"method": "operated", "note": "X1 driven"}, "Tick it only when you saw this unit"),
            ({"method": "operated", "seen": "on"}, "Say which terminal was driven"),
            ({"method": "guessed", "serial": "A-1"}, "Select a valid choice"),
            ({"serial": "(01)09501101530003"}, "no serial (21)"),
            ({"serial": "A-1", "note": "x" * 301}, "at most 300"),
        ],
    )
    def test_what_proves_nothing_is_refused_at_its_field(self, as_, identical_units, typed, sentence):
        response = post(as_("engineer"), identical_units.m1, **typed)
        assert response.status_code == 422
        assert sentence in response.content.decode()
        assert not PlaceConfirmation.objects.exists()

    def test_operating_warns_that_identical_units_hang_on_the_same_output(self, as_, identical_units):
        page = as_("engineer").get(prove_url(identical_units.m1)).content.decode()
        assert "M2, M3 hang on P1 circuit 1 too" in page

    def test_a_nonsense_exchange_changes_nothing(self, as_, identical_units):
        for serial in ("", "\x00", "A-1 " * 40):
            as_("engineer").post(
                reverse("place-exchange", args=[identical_units.m1.pk, identical_units.m1.pk]), {"serial": serial}
            )
        assert serial_at(identical_units.m1) == "A-1" and not PlaceConfirmation.objects.exists()

    def test_set_up_and_position_pages_tell_the_progress(self, as_, identical_units):
        builders.prove_place(identical_units.m1.fittings.get())
        client = as_("engineer")
        assert (
            "told apart 1 of 3"
            in client.get(reverse("building-set-up", args=[identical_units.hall.slug])).content.decode()
        )
        proven = client.get(reverse("position-detail", args=[identical_units.m1.pk])).content.decode()
        waiting = client.get(reverse("position-detail", args=[identical_units.m2.pk])).content.decode()
        assert "serial read at the place" in proven and "2 identical units in the building" in proven
        assert "place not confirmed" in waiting and prove_url(identical_units.m2) in waiting
