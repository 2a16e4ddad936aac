"""How the tests of the calculators ask a page, and what they read of it."""

import html
import re

from django.urls import reverse


def page(client, url_name, status=200, /, **figures):
    """The page of a calculator with these figures in its address, as a person reads it: tags taken out."""
    response = client.get(reverse(url_name), figures)
    assert response.status_code == status, response.content.decode()[:2000]
    return words(response)


def words(response):
    """The text of a page; blanks folded, so that a sentence can be looked for."""
    text = re.sub(r"<(script|style)\b.*?</\1>", " ", response.content.decode(), flags=re.DOTALL)
    text = html.unescape(re.sub(r"<[^>]+>", " ", text))
    return re.sub(r"\s+", " ", text)
