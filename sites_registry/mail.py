"""Whether mail leaves this register. What is only written to a folder or a screen reaches nobody."""

from django.conf import settings

REACHES_NOBODY = {f"django.core.mail.backends.{name}.EmailBackend" for name in ("console", "dummy", "filebased")}


def mail_is_sent():
    return settings.EMAIL_BACKEND not in REACHES_NOBODY
