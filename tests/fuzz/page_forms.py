"""The forms of a page as a browser would send them."""

from dataclasses import dataclass, field
from html.parser import HTMLParser


@dataclass
class PageForm:
    """`values`: what the browser would send untouched; `offered`: the choices of each select box or
    radio button; `numbers`: what is meant to be a number."""

    method: str
    action: str
    values: dict[str, list[str]] = field(default_factory=dict)
    offered: dict[str, list[str]] = field(default_factory=dict)
    files: list[str] = field(default_factory=list)
    numbers: set[str] = field(default_factory=set)


class _Reader(HTMLParser):
    def __init__(self):
        super().__init__()
        self.forms, self.by_id, self.select, self.textarea = [], {}, None, None

    def handle_starttag(self, tag, attributes):
        attributes = dict(attributes)
        if tag == "form":
            form = PageForm(attributes.get("method", "get").lower(), attributes.get("action") or "")
            self.forms.append(form)
            self.by_id[attributes.get("id")] = form
        elif tag == "option" and self.select:
            self._option(attributes)
        elif form := self.by_id.get(attributes.get("form")) or (self.forms[-1] if self.forms else None):
            self._control(tag, attributes, form)

    def _control(self, tag, attributes, form):
        name = attributes.get("name")
        if not name or tag not in ("input", "select", "textarea", "button"):
            return
        value, kind = attributes.get("value") or "", attributes.get("type", "text")
        if tag == "select":
            self.select = form, name
            form.values.setdefault(name, [])
        elif tag == "textarea":
            self.textarea = form, name
            form.values.setdefault(name, [""])
        elif kind == "file":
            form.files.append(name)
        elif kind in ("checkbox", "radio"):
            form.offered.setdefault(name, []).append(value or "on")
            form.values.setdefault(name, [])
            if "checked" in attributes:
                form.values[name].append(value or "on")
        elif kind in ("submit", "button") or tag == "button":
            form.offered.setdefault(name, []).append(value)
        else:
            form.values.setdefault(name, []).append(value)
            if kind == "number" or attributes.get("inputmode") in ("decimal", "numeric"):
                form.numbers.add(name)

    def _option(self, attributes):
        form, name = self.select
        form.offered.setdefault(name, []).append(attributes.get("value") or "")
        if "selected" in attributes:
            form.values[name].append(attributes.get("value") or "")

    def handle_data(self, data):
        if self.textarea:
            form, name = self.textarea
            form.values[name][-1] += data

    def handle_endtag(self, tag):
        if tag == "select":
            self.select = None
        elif tag == "textarea":
            self.textarea = None


def forms_of(html):
    reader = _Reader()
    reader.feed(html)
    return reader.forms
