"""What the other tests ask about accessibility finds a fault where there is one (WCAG 2.1, 1.1.1 and 1.4.3)."""

import pytest

from tests.browser.accessibility import accessibility_faults

pytestmark = pytest.mark.browser
PAGE = "<html lang='en'><title>Page</title><main><h1>Page</h1>{}</main>"


@pytest.mark.parametrize(
    ("part", "fault"),
    [
        ("<img src='data:,'>", "image-alt"),
        ("<p style='color: #bbb; background: #fff'>Pale words</p>", "color-contrast"),
    ],
)
def test_a_fault_is_told_with_the_place_where_it_is(page, part, fault):
    page.set_content(PAGE.format("<p>Words</p>"))
    assert accessibility_faults(page) == []
    page.set_content(PAGE.format(part))
    (told,) = accessibility_faults(page)
    assert f"({fault})" in told and part[:4] in told
