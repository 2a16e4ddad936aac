"""Identical units told apart: tag ↔ serial ↔ terminal ↔ seen to move (handbook process.md §2)."""

import uuid
from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from tests import builders
from zones.models import Fitting, PlaceProof
from zones.services.fittings import FittingRefused, exchange, swap
from zones.services.place_proofs import PlaceProofRefused, exchange_and_prove, prove_by_operating, prove_by_serial
from zones.twins import groups_of, panel_terminals_of, progress_of, twins_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def twins(town):
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
    return reverse("place-proof-create", args=[position.pk])


def post(client, position, **typed):
    data = {"submission_key": str(uuid.uuid4()), "method": "serial", **typed}
    return client.post(prove_url(position), data)


class TestGroups:
    def test_units_of_one_model_at_two_positions_are_twins(self, twins):
        (group,) = groups_of(twins.hall)
        assert (group.name, group.kind_words, group.total, group.proven) == ("Tarn Works KA 1", "actuator", 3, 0)

    def test_a_single_unit_has_no_twin(self, town):
        assert groups_of(town.hall) == []  # SD1 alone

    def test_another_kind_another_building_and_a_given_up_position_do_not_count(self, twins):
        switch = builders.make_product_model("ventilation_switch")
        for _ in range(2):
            builders.fit(builders.make_position(twins.hall, "ventilation_switch"), builders.make_unit(switch))
        builders.fit(builders.make_position(twins.mill, "actuator"), builders.make_unit(twins.model))
        twins.m3.retired_on = date(2026, 1, 1)
        twins.m3.save()
        assert [group.total for group in groups_of(twins.hall)] == [2]

    def test_progress_counts_units_not_proofs(self, twins):
        fitting = twins.m1.fittings.get()
        builders.prove_place(fitting)
        builders.prove_place(fitting, method="operated", note="-X1:1 driven, M1 opened")
        assert progress_of(twins.hall) == (1, 3)

    def test_the_terminals_at_the_panel_are_those_of_the_output(self, twins):
        found = panel_terminals_of([twins.m2, twins.detector])
        assert found == {twins.m2.pk: "P1 -X1:1, -X1:2", twins.detector.pk: ""}

    def test_twins_of_a_unit_are_the_others_of_its_model(self, twins):
        assert twins_of(twins.m1.fittings.get()).count() == 2
        assert twins_of(twins.fitting).count() == 0


class TestProving:
    def test_the_serial_on_record_proves_the_place(self, twins):
        proof = prove_by_serial(position=twins.m1, serial="a-1", by=twins.people["engineer"])
        assert (proof.fitting, proof.method, proof.by) == (twins.m1.fittings.get(), "serial", twins.people["engineer"])

    def test_the_serial_of_a_twin_is_refused_and_names_it(self, twins):
        with pytest.raises(PlaceProofRefused, match="on record at M2: the two records seem to be exchanged") as refused:
            prove_by_serial(position=twins.m1, serial="A-2", by=twins.people["engineer"])
        assert refused.value.other.position == twins.m2
        assert not PlaceProof.objects.exists()

    def test_a_serial_that_nobody_knows_is_refused(self, twins):
        with pytest.raises(PlaceProofRefused, match="knows no unit 'Z-9'") as refused:
            prove_by_serial(position=twins.m1, serial="Z-9", by=twins.people["engineer"])
        assert refused.value.other is None

    def test_a_unit_in_store_or_elsewhere_is_refused_without_an_exchange(self, twins):
        builders.make_unit(twins.model, serial="A-8")
        builders.fit(builders.make_position(twins.mill, "actuator"), builders.make_unit(twins.model, serial="A-9"))
        for serial, words in (("A-8", "fitted nowhere"), ("A-9", "in Mill House at")):
            with pytest.raises(PlaceProofRefused, match=words) as refused:
                prove_by_serial(position=twins.m1, serial=serial, by=twins.people["engineer"])
            assert refused.value.other is None

    def test_operating_it_needs_a_note(self, twins):
        proof = prove_by_operating(position=twins.m1, note="-X1:1 driven, M1 opened", by=twins.people["engineer"])
        assert proof.method == "operated"

    def test_a_swap_asks_for_a_new_proof(self, twins):
        prove_by_serial(position=twins.m1, serial="A-1", by=twins.people["engineer"])
        assert progress_of(twins.hall) == (1, 3)
        swap(position=twins.m1, new_unit=builders.make_unit(twins.model), swapped_on=timezone.localdate())
        assert progress_of(twins.hall) == (0, 3)

    def test_a_position_without_a_unit_cannot_be_proven(self, twins):
        with pytest.raises(PlaceProofRefused, match="has no unit on record"):
            prove_by_serial(position=twins.call_point, serial="A-1", by=twins.people["engineer"])


class TestExchange:
    def exchange(self, twins, serial="A-2"):
        return exchange_and_prove(position=twins.m1, other=twins.m2, serial=serial, by=twins.people["engineer"])

    def test_both_records_change_at_once_and_nothing_is_overwritten(self, twins):
        self.exchange(twins)
        assert (serial_at(twins.m1), serial_at(twins.m2)) == ("A-2", "A-1")
        closed = Fitting.objects.get(position=twins.m1, unit__serial="A-1")
        assert closed.removed_on == timezone.localdate()
        assert closed.reason_removed == "Records exchanged: serial A-2 was read at M1"

    def test_the_place_where_it_was_read_is_proven_and_the_other_is_not(self, twins):
        proof = self.exchange(twins)
        assert proof.fitting == Fitting.objects.open().get(position=twins.m1)
        assert not PlaceProof.objects.filter(fitting__position=twins.m2).exists()

    def test_asked_twice_the_records_stay_exchanged(self, twins):
        assert self.exchange(twins) == self.exchange(twins)
        assert serial_at(twins.m1) == "A-2"

    def test_a_twin_that_moved_on_meanwhile_is_not_exchanged(self, twins):
        with pytest.raises(PlaceProofRefused, match="not on record at M2 any more"):
            self.exchange(twins, serial="A-3")
        assert (serial_at(twins.m1), serial_at(twins.m2)) == ("A-1", "A-2")

    def test_units_of_different_models_are_not_exchanged(self, twins):
        with pytest.raises(FittingRefused, match="different models"):
            exchange(position=twins.m1, other=twins.detector, exchanged_on=timezone.localdate())
        assert serial_at(twins.m1) == "A-1"

    def test_half_an_exchange_is_none(self, twins):
        fitting = twins.m2.fittings.get()
        Fitting.objects.filter(pk=fitting.pk).update(fitted_on=date(2099, 1, 1))
        with pytest.raises(FittingRefused, match="cannot come off"):
            exchange(position=twins.m1, other=twins.m2, exchanged_on=timezone.localdate())
        assert serial_at(twins.m1) == "A-1"


class TestPages:
    def test_the_list_shows_each_with_tag_place_terminal_and_serial(self, as_, twins):
        page = as_("manager").get(reverse("twin-list", args=[twins.hall.slug])).content.decode()
        for words in ("Told apart 0 of 3", "M1", "A-1", "P1 circuit 1", "P1 -X1:1, -X1:2", "not proven"):
            assert words in page, words
        assert prove_url(twins.m1) not in page  # a manager reads
        assert prove_url(twins.m1) in as_("engineer").get(reverse("twin-list", args=[twins.hall.slug])).content.decode()

    def test_a_building_without_twins_says_so(self, as_, town):
        page = as_("engineer").get(reverse("twin-list", args=[town.hall.slug])).content.decode()
        assert "No two actuators, call points or detectors" in page

    def test_a_proof_leads_to_the_next_twin_and_at_last_to_the_group(self, as_, twins):
        client = as_("engineer")
        assert post(client, twins.m1, serial="A-1").url == prove_url(twins.m2)
        assert post(client, twins.m3, serial="A-3").url == prove_url(twins.m2)
        assert post(client, twins.m2, serial="A-2").url.startswith(reverse("twin-list", args=[twins.hall.slug]))
        assert progress_of(twins.hall) == (3, 3)

    def test_a_label_with_elements_is_read(self, as_, twins):
        assert post(as_("engineer"), twins.m1, serial="(01)09501101530003(21)A-1").status_code == 302

    def test_a_double_click_proves_once(self, as_, twins):
        client, key = as_("engineer"), str(uuid.uuid4())
        for _ in range(2):
            assert post(client, twins.m1, serial="A-1", submission_key=key).status_code == 302
        assert PlaceProof.objects.count() == 1

    def test_the_serial_of_a_twin_offers_the_exchange(self, as_, twins):
        client, url = as_("engineer"), reverse("place-exchange", args=[twins.m1.pk, twins.m2.pk])
        response = post(client, twins.m1, serial="A-2")
        assert response.status_code == 422 and url in response.content.decode()
        client.post(url, {"serial": "A-2"})
        assert serial_at(twins.m1) == "A-2"

    def test_an_unknown_serial_offers_none(self, as_, twins):
        response = post(as_("engineer"), twins.m1, serial="Z-9")
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
    def test_what_proves_nothing_is_refused_at_its_field(self, as_, twins, typed, sentence):
        response = post(as_("engineer"), twins.m1, **typed)
        assert response.status_code == 422
        assert sentence in response.content.decode()
        assert not PlaceProof.objects.exists()

    def test_operating_warns_that_twins_hang_on_the_same_output(self, as_, twins):
        page = as_("engineer").get(prove_url(twins.m1)).content.decode()
        assert "M2, M3 hang on P1 circuit 1 too" in page

    def test_a_nonsense_exchange_changes_nothing(self, as_, twins):
        for serial in ("", "\x00", "A-1 " * 40):
            as_("engineer").post(reverse("place-exchange", args=[twins.m1.pk, twins.m1.pk]), {"serial": serial})
        assert serial_at(twins.m1) == "A-1" and not PlaceProof.objects.exists()

    def test_set_up_and_position_pages_tell_the_progress(self, as_, twins):
        builders.prove_place(twins.m1.fittings.get())
        client = as_("engineer")
        assert "told apart 1 of 3" in client.get(reverse("building-set-up", args=[twins.hall.slug])).content.decode()
        proven = client.get(reverse("position-detail", args=[twins.m1.pk])).content.decode()
        waiting = client.get(reverse("position-detail", args=[twins.m2.pk])).content.decode()
        assert "serial read at the place" in proven and "2 twins in the building" in proven
        assert "not proven" in waiting and prove_url(twins.m2) in waiting
