"""Whether mail leaves this register. What is only written to a folder or a screen reaches nobody."""

from django.conf import settings
from django.utils.html import format_html

REACHES_NOBODY = {f"django.core.mail.backends.{name}.EmailBackend" for name in ("console", "dummy", "filebased")}


def mail_is_sent():
    return settings.EMAIL_BACKEND not in REACHES_NOBODY


def link_to_hand_over(reason, link, full_name, lasts):
    """What the office is shown in place of a mail, as a message of the page."""
    return format_html(
        "{} Hand this link to {} yourself, and to nobody else: who opens it sets the password. {}"
        '<code class="link-to-hand-over">{}</code>'
        "It is shown this once; a new one can be made at any time.",
        reason,
        full_name,
        lasts,
        link,
    )
