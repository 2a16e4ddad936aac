"""An input with the devices wired to it, in their order."""

from django.db import transaction

from zones.models import InputDevice, InputPort


@transaction.atomic
def put_devices(*, input_port, devices):
    """Wire exactly these devices to an input, in this order; who was there before stays in the history.

    Cores and terminals stay as they are: 'wire it' and the wiring page change those.
    """
    InputPort.objects.select_for_update(of=("self",)).get(pk=input_port.pk)
    standing = {one.position_id: one for one in input_port.wired_devices.all()}
    wanted = {position.pk: order for order, position in enumerate(devices, start=1)}
    for position_id, one in standing.items():
        if position_id not in wanted:
            one.delete()
    for position in devices:
        one = standing.get(position.pk) or InputDevice(input_port=input_port, position=position, order=0)
        if one.order != wanted[position.pk]:
            one.order = wanted[position.pk]
            one.full_clean()
            one.save()
    return input_port
