"""What a script or a sheet will ask for, so that a page asks for all of it at once: one after the other takes long."""

import re
from functools import lru_cache
from posixpath import dirname, join, normpath

from django.contrib.staticfiles import finders

_IMPORT = re.compile(r"""^import\s+(?:[^"';]*?\sfrom\s+)?["'](\.{1,2}/[^"']+)["']""", re.MULTILINE)

_TYPEFACE = re.compile(r"""url\("(\.\./[^"]+-latin-\d+-normal\.woff2)"\)""")


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


@lru_cache
def typefaces_of(sheet):
    """Names of the typefaces that a sheet sets plain English in."""
    return tuple(_named_in(sheet, _TYPEFACE))


def _imports(name):
    return _named_in(name, _IMPORT)


def _named_in(name, pattern):
    with open(finders.find(name), encoding="utf-8") as file:
        return dict.fromkeys(normpath(join(dirname(name), path)) for path in pattern.findall(file.read()))
