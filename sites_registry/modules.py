"""Which scripts a module imports, so that a page asks for all of them at once: one after the other takes long."""

import re
from functools import lru_cache
from posixpath import dirname, join, normpath

from django.contrib.staticfiles import finders

_IMPORT = re.compile(r"""^import\s+(?:[^"';]*?\sfrom\s+)?["'](\.{1,2}/[^"']+)["']""", re.MULTILINE)


@lru_cache
def modules_of(name):
    """Names of this module and of all that it imports, directly or not; the nearest first."""
    found = {name: None}
    waiting = [name]
    for each in waiting:  # it grows on the way
        new = [one for one in _imports(each) if one not in found]
        found |= dict.fromkeys(new)
        waiting += new
    return tuple(found)


def _imports(name):
    with open(finders.find(name), encoding="utf-8") as file:
        return dict.fromkeys(normpath(join(dirname(name), path)) for path in _IMPORT.findall(file.read()))
