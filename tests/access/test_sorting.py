"""Every heading of every list that offers to sort by it does so."""

import re

import pytest
from django.urls import URLPattern, get_resolver

from sites_registry.views.lists import ListPage
from tests.access.test_urls import address_of

SORTS = re.compile(r'href="\?([^"#]*\bsort=[^"#]+)"')


def names_of_lists(patterns):
    for pattern in patterns:
        if not isinstance(pattern, URLPattern):
            yield from names_of_lists(pattern.url_patterns)
        elif issubclass(getattr(pattern.callback, "view_class", object), ListPage):
            yield pattern.name


@pytest.mark.parametrize("url_name", sorted(names_of_lists(get_resolver().url_patterns)))
def test_every_heading_sorts(as_, town, url_name):
    address, office = address_of(url_name, town), as_("office")
    offered = SORTS.findall(office.get(address).content.decode())
    assert {query: office.get(f"{address}?{query}").status_code for query in offered} == dict.fromkeys(offered, 200)
