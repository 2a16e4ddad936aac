"""Tags that count on: after CP1 comes CP2, after Z3-SD-09 comes Z3-SD-10."""

import re

LONGEST_NUMBER = 6


def tag_after(tag, taken=()):
    """The next tag of the same make that is not among `taken` (whatever the case); "" where a tag has no number."""
    found = re.fullmatch(rf"(.*?)([0-9]{{1,{LONGEST_NUMBER}}})", tag)
    if not found:
        return ""
    prefix, number = found.groups()
    used = {other.upper() for other in taken}
    for following in range(int(number) + 1, int(number) + len(used) + 2):
        if (name := f"{prefix}{following:0{len(number)}}").upper() not in used:
            return name
    return ""
