"""Photographs of the opened panel and its boxes, beside the wiring: files of the panel that are named after a box."""

from zones.models import Attachment


def photos_of(panel, person, headings=()):
    """Photographs kept with a panel that this person may see, by name; those of boxes with these headings first.

    One query. A photograph is of a box where its title begins with the box's heading ("JB1", "-X3").
    """
    found = Attachment.objects.visible_to(person).filter(panel=panel, kind=Attachment.Kind.PHOTO, withdrawn_at=None)
    shown = {heading.casefold() for heading in headings}
    return sorted(found, key=lambda photo: (_box_of(photo) not in shown, str(photo).casefold(), photo.pk))


def _box_of(photo):
    return (str(photo).casefold().split() or [""])[0]
