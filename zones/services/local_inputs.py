"""An input with the devices wired to it, in their order."""

from django.db import transaction

from zones.models import InputDevice, LocalInput


@transaction.atomic
def put_devices(*, local_input, devices):
    """Wire exactly these devices to an input, in this order; who was there before stays in the history.

    Cores and terminals stay as they are: 'wire it' and the wiring page change those.
    """
    LocalInput.objects.select_for_update(of=("self",)).get(pk=local_input.pk)
    standing = {one.position_id: one for one in local_input.wired_devices.all()}
    wanted = {position.pk: order for order, position in enumerate(devices, start=1)}
    for position_id, one in standing.items():
        if position_id not in wanted:
            one.delete()
    for position in devices:
        one = standing.get(position.pk) or InputDevice(local_input=local_input, position=position, order=0)
        if one.order != wanted[position.pk]:
            one.order = wanted[position.pk]
            one.row_version += one.pk is not None
            one.full_clean()
            one.save()
    return local_input
