"""Photographs as they are printed: small, with number, place, time and caption, no more of them than a paper bears."""

from dataclasses import dataclass

from django.core.files.storage import default_storage

from sites_registry.whole_files import NotWhole

MOST_ON_A_PAPER = 120


@dataclass(frozen=True)
class PhotoSheet:
    """What a template prints, with `pictures` for `render_pdf`; `left_out` were too many, `lost` have no file now."""

    photos: list
    pictures: dict
    left_out: int
    lost: int


def photo_sheet(photos):
    """Of these photographs (a list), in their order."""
    printed, pictures = [], {}
    for photo in photos[:MOST_ON_A_PAPER]:
        try:
            pictures[f"photo-{photo.pk}"] = default_storage.read_whole(photo.small.name)
        except NotWhole:  # the data folder was restored without its files, or the file is torn
            continue
        printed.append(photo)
    left_out = max(0, len(photos) - MOST_ON_A_PAPER)
    return PhotoSheet(printed, pictures, left_out, len(photos) - left_out - len(printed))
