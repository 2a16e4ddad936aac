"""Small template helpers: no queries, no logic beyond formatting."""

import re
import uuid
from datetime import date

from django import template
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.html import format_html

register = template.Library()

FROM_THE_GROUND = re.compile(r"0\s*(?:–|-|to)\s*(\d+)")

# One table for every state in the register: word → (glyph, tone). State is never colour alone.
GLYPHS = {
    "good": "●", "attention": "▲", "alarm": "■", "quiet": "○", "unknown": "?",
}  # fmt: skip
TONE_OF = {
    # visits
    "planned": "quiet", "under_way": "attention", "finished": "good", "called_off": "quiet",
    # certificates
    "in_force": "good", "superseded": "quiet", "revoked": "alarm", "limited": "attention",
    # a certificate not withdrawn, by the date of the next inspection
    "next_ahead": "good", "next_ahead_limited": "attention", "next_past": "attention", "next_unknown": "unknown",
    # outcomes
    "pass": "good", "remark": "attention", "fail": "alarm", "not_accessible": "attention", "not_applicable": "quiet",
    "untested": "unknown", "contradicted": "alarm",
    # severities
    "impaired": "alarm", "degraded": "attention", "minor": "quiet", "advice": "quiet",
    # findings of the design check
    "not_known": "unknown", "question": "attention", "meets": "good", "note": "quiet",
    # settings compared with those as left, and units told apart from identical ones
    "as_left": "good", "differs": "alarm", "recorded": "attention", "not_seen": "attention", "proven": "good",
    "not_proven": "attention",
    # due
    "overdue": "alarm", "due_soon": "attention", "in_date": "good", "never": "unknown", "not_due": "quiet",
    "out_of_service": "attention", "missed": "attention",
    # open things
    "open": "attention", "closed": "good", "draft": "quiet", "published": "good", "withdrawn": "quiet",
    "in_order": "good", "not_in_order": "alarm", "missing": "attention", "fitted": "good", "expired": "quiet",
    "past_planned_end": "alarm", "ended": "good", "corrected": "quiet",
    "known": "good", "unknown": "unknown", "retired": "quiet", "active": "good", "inactive": "quiet",
    # where a vent stands in the simulator, and what holds a zone
    "shut": "quiet", "part_way": "attention", "open_ventilation": "good", "open_smoke": "alarm", "in_alarm": "alarm",
    "at_rest": "quiet", "locked_out": "attention", "attention": "attention",
    # rows of an import, and how far it got
    "new": "good", "changed": "attention", "swap": "attention", "unchanged": "quiet", "faulty": "alarm",
    "mapping": "attention", "checking": "attention", "checked": "attention", "applied": "good",
}  # fmt: skip

NAV_BY_ROLE = {
    "office": (
        ("Home", "home"), ("Buildings", "building-list"), ("Jobs", "job-list"), ("Visits", "visit-list"),
        ("Defects", "defect-list"), ("Certificates", "certificate-list"), ("Units", "unit-list"),
        ("Batteries", "battery-list"), ("Models", "product-model-list"), ("Clients", "client-list"),
        ("People", "person-list"),
    ),
    "engineer": (
        ("My visits", "home"), ("Buildings", "building-list"), ("Visits", "visit-list"), ("Defects", "defect-list"),
        ("Certificates", "certificate-list"), ("Units", "unit-list"),
        ("Batteries", "battery-list"), ("Models", "product-model-list"), ("Calculator", "calculator"),
    ),
    "manager": (
        ("Home", "home"), ("Buildings", "building-list"), ("Defects", "defect-list"),
        ("Batteries", "battery-list"), ("Certificates", "certificate-list"),
    ),
}  # fmt: skip


def state_mark(key, word):
    """Glyph + word + tone: `key` is the stored value, `word` what is shown."""
    tone = TONE_OF.get(str(key), "unknown")
    return format_html(
        '<span class="state {}"><span class="glyph" aria-hidden="true">{}</span>{}</span>', tone, GLYPHS[tone], word
    )


@register.simple_tag
def state(key, word=None):
    """A state in a template; `word` is what is shown (default: the stored value in words)."""
    key = str(key or "unknown")
    return state_mark(key, word or key.replace("_", " "))


@register.filter
def plain_number(value):
    """A quantity without trailing zeros, in plain digits: 24.00 → 24; None → an en dash."""
    if value in (None, ""):
        return "–"
    text = f"{value:f}" if hasattr(value, "normalize") else str(value)
    return text.rstrip("0").rstrip(".") if "." in text else text


@register.filter
def written_day(text):
    """A day kept as text in a frozen statement, as it is written everywhere: "2026-07-28" → "28 Jul 2026"."""
    try:
        return date_format(date.fromisoformat(text), "j M Y")
    except (TypeError, ValueError):
        return text


@register.filter
def full_stop(text):
    """A typed sentence with one stop at its end, whether or not it was typed."""
    text = str(text or "").rstrip()
    return text if not text or text.endswith((".", "!", "?", "…")) else f"{text}."


@register.filter
def counted(number, noun):
    """A number with its noun, which is given for many: "3 defects", "1 defect", "1 entry"."""
    if number != 1:
        return f"{number} {noun}"
    one = {"people": "person"}.get(noun) or (f"{noun[:-3]}y" if noun.endswith("ies") else noun.removesuffix("s"))
    return f"1 {one}"


@register.filter
def storey_name(storey):
    """A storey under a head that says storey already: "0" → "ground floor", "0–5" → "ground floor to 5", "2" → "2"."""
    if str(storey) == "0":
        return "ground floor"
    upward = FROM_THE_GROUND.fullmatch(str(storey or ""))
    return f"ground floor to {upward[1]}" if upward else storey


@register.filter
def storey_words(storey):
    """A storey as one says it: "2" → "storey 2", "0" → "ground floor", "1–5" → "storeys 1–5"; "roof" stays as it is."""
    text = str(storey or "")
    if text == "0":
        return storey_name(text)
    if upward := FROM_THE_GROUND.fullmatch(text):
        return f"ground floor to storey {upward[1]}"
    if not re.match(r"[-−]?\d", text):
        return text
    return f"storeys {text}" if re.search(r"\d\s*(–|-|,|to|and)\s*[-−]?\d", text) else f"storey {text}"


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
    words = NAV_BY_ROLE.get(request.user.role, ())
    links = [{"word": word, "url": reverse(name)} for word, name in words]
    for link in links:
        link["is_here"] = request.path == link["url"] if link["url"] == "/" else request.path.startswith(link["url"])
    return links
