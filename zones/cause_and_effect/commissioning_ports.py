"""What a commissioning asks of the list of a data link and of monitored inputs, which no rule of a panel names."""

from functools import cached_property

from sites_registry.words import storey_words
from zones.engineering.cause_and_effect.commissioning import CommissioningStep, Phase
from zones.engineering.cause_and_effect.rules import WEATHER
from zones.engineering.hazards import Hazard
from zones.models import Fitting, InputPort, LinkEntry
from zones.models.kinds import CALL_POINTS, facts_of

_OPENED = (Hazard.LIVE, Hazard.MOVING, Hazard.ALARM)


class ListedCallPoints:
    """The call points of a panel that can be taken for each other, as the panel lists them; two queries."""

    def __init__(self, panel, devices):
        points = [one for one in devices if one.kind in CALL_POINTS]
        self.call_points = {one.pk: one for one in points} if len(points) > 1 else {}
        self.panel = panel

    @cached_property
    def _fitted(self):
        fittings = Fitting.objects.open().filter(position__in=self.call_points).select_related("unit")
        return {fitting.position_id: fitting for fitting in fittings}

    @cached_property
    def _entries(self):
        entries = LinkEntry.objects.filter(data_link__panel=self.panel).select_related("data_link", "zone_assigned")
        return {entry.serial.casefold(): entry for entry in entries if entry.serial}

    def sentences(self):
        """One for each call point: what the list of the panel has to say of it."""
        return tuple(
            f"{one}: {self._serial(one)}, {self._zone(one)}{f', {storey_words(one.storey)}' if one.storey else ''}."
            for one in self.call_points.values()
        )

    def named(self, position):
        """What the panel names when the call point is operated, and the keys of the fitting that this confirms."""
        fitting = self._fitted.get(position.pk)
        said = f"The panel names this call point and no other: {position}, {self._serial(position)}."
        return (said,), (fitting.pk,) if fitting else ()

    def _entry(self, position):
        fitting = self._fitted.get(position.pk)
        return self._entries.get(fitting.unit.serial.casefold()) if fitting else None

    def _serial(self, position):
        fitting, entry = self._fitted.get(position.pk), self._entry(position)
        serial = f"serial {fitting.unit.serial}" if fitting else "no serial recorded yet"
        return f"{serial}, number {entry.number_given}" if entry and entry.number_given is not None else serial

    def _zone(self, position):
        entry = self._entry(position)
        return (entry and entry.zone_assigned) or position.smoke_zone or "no zone"


class Monitored:
    """The faults of monitored inputs, tried at their last device; a fixed number of queries."""

    def __init__(self, panel):
        self.panel, self.devices = panel, {}

    def steps(self):
        """One step for each monitored input with a device."""
        found = []
        inputs = InputPort.objects.filter(panel=self.panel, is_monitored=True)
        for one in inputs.prefetch_related("wired_devices__position__smoke_zone"):
            on_it = [wired.position for wired in one.wired_devices.all() if wired.position.retired_on is None]
            if on_it:
                must = (f"The panel shows the fault of input {one.number}.", "No vent moves.")
                found.append(self._step(f"Open monitored input {one.number} at {on_it[-1]}.", on_it[-1], must))
        return found

    def _step(self, do, position, must):
        self.devices[f"d{position.pk}"] = position
        hazards = (
            (*_OPENED[:2], Hazard.HEIGHT, _OPENED[2]) if facts_of(position.kind).input_kind in WEATHER else _OPENED
        )
        whole = f"{do} Make it whole again: the fault clears."
        return CommissioningStep(
            *(0, 0, Phase.LINE, position.walking_order, whole),
            must=must,
            hazards=hazards,
            at=f"d{position.pk}",
            code="port-fault",
            part=do.rstrip("."),
        )
