"""Small template helpers: no queries, no logic beyond formatting."""

import uuid

from django import template
from django.contrib.staticfiles.storage import staticfiles_storage
from django.template.loader import render_to_string
from django.utils.html import format_html, format_html_join
from django.utils.safestring import mark_safe

from sites_registry import words
from sites_registry.forms.layout import layout_of
from sites_registry.modules import modules_of, typefaces_of
from sites_registry.navigation import links_of, pages_beside
from sites_registry.siblings import siblings_of
from sites_registry.states import answer_mark, state_mark

register = template.Library()

# What a column of a table may hold, by the class that gives its width (static/css/tables.css).
COLUMN_CLASSES = {
    "tag": "tag-column",
    "kind": "kind-column",
    "zone": "zone-column",
    "date": "date-column",
    "state": "state-column",
    "number": "number-column",
    "figure": "figure-column",
    "name": "name-column",
    "place": "place-column",
    "note": "note-column",
    "words": "words-column",
    "serial": "serial-column",
    "ways": "ways-column",
    "rest": "",
}

register.filter(words.counted)
register.filter(words.full_stop)
register.filter(words.plain_number)
register.filter(words.storey_name)
register.filter(words.storey_words)
register.filter(words.written_day)
register.filter(words.whole_days)
register.filter(layout_of)

NAME_OF_ONE_LINE = 24  # characters that fit beside the facts of a title block at a small desk


@register.filter
def name_size(name, beside=0):
    """The class of a page's name: a long one is set smaller; `beside`, how many characters stand in its line too."""
    return "long" if len(str(name)) + beside > NAME_OF_ONE_LINE else ""


@register.simple_tag
def state(key, word=None):
    """A state in a template; `word` where the place says more than the table of states."""
    return state_mark(key or "unknown", word or "")


register.simple_tag(answer_mark, name="mark")


@register.simple_block_tag
def nothing_here(content, url="", word=""):
    """An empty state, which says between the tags what to do next; `word` is the button that leads to `url`."""
    return render_to_string("components/empty.html", {"text": content, "url": url, "word": word})


@register.simple_block_tag
def caution_note(content):
    """A caution, its words between the tags."""
    return render_to_string("components/caution.html", {"text": content})


@register.simple_block_tag
def heads(content):
    """Columns and head of a table: "tag: Tag | kind: Kind | Place | number: Current, A".

    What a column holds gives its width, the same on every page, and sets numbers to the right; one that takes the rest
    says nothing. Two columns under one head: "number+number: …". A `figure` is as wide as a number, set to the left.
    """
    return render_to_string("components/heads.html", {"heads": [_head(one) for one in content.split("|")]})


def _head(text):
    text = " ".join(text.split())  # a template may break its line anywhere
    kinds, separator, words = text.partition(": ")
    kinds = kinds.split("+") if separator else []
    if not kinds or not set(kinds) <= set(COLUMN_CLASSES):
        kinds, words = ["rest"], text
    # What a template has rendered is escaped already.
    return {
        "columns": [COLUMN_CLASSES[kind] for kind in kinds],
        "is_number": kinds == ["number"],
        "words": mark_safe(words),  # noqa: S308
    }


@register.simple_tag
def ask_for_modules(*names):
    """Links by which a browser asks at once for these modules and for all that they import."""
    modules = dict.fromkeys(module for name in names for module in modules_of(name))
    urls = ((staticfiles_storage.url(name),) for name in modules)
    return format_html_join("", '<link rel="modulepreload" href="{}">', urls)


@register.simple_tag
def ask_for_typefaces():
    """Links by which a browser has the typefaces before it lays a page out, which it would do anew for each."""
    urls = ((staticfiles_storage.url(name),) for name in typefaces_of("css/tokens.css"))
    return format_html_join("", '<link rel="preload" as="font" type="font/woff2" href="{}" crossorigin>', urls)


@register.simple_tag
def submission_key():
    """A key for a form that makes something new: sent twice, it is taken once."""
    return format_html('<input type="hidden" name="submission_key" value="{}">', uuid.uuid4())


@register.simple_tag(takes_context=True)
def query_with(context, **changes):
    """The present query string with some parameters changed; None drops one."""
    query = context["request"].GET.copy()
    for name, value in changes.items():
        if value is None:
            query.pop(name, None)
        else:
            query[name] = value
    return "?" + query.urlencode()


@register.simple_tag(takes_context=True)
def main_nav(context):
    """Links of the main menu for this person's role, with the present one marked."""
    request = context["request"]
    return links_of(role=request.user.role, path=request.path)


@register.inclusion_tag("components/siblings.html", takes_context=True)
def section_pages(context):
    """The pages that stand beside this one in its section of the menu."""
    request = context["request"]
    return {"siblings": pages_beside(role=request.user.role, path=request.path), "of": "this section"}


@register.inclusion_tag("components/siblings.html", takes_context=True)
def siblings(context, kind, record):
    """The sibling pages of a building, panel or visit; one query."""
    request = context["request"]
    page = request.resolver_match.url_name
    return {"siblings": siblings_of(kind, record, role=request.user.role, page=page), "of": record}
