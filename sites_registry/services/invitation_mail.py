"""The mail that carries the link of an invitation. It is sent after the commit, and can be sent again."""

import logging

from django.conf import settings
from django.core.mail import EmailMessage
from django.template.loader import render_to_string
from django.urls import reverse

from sites_registry.mail import mail_is_sent
from sites_registry.models import Mail
from sites_registry.services.outbox import keep_sent, reason_of

logger = logging.getLogger(__name__)


def send_invitation(*, invitation, token):
    """Mail the link. A mail server that does not answer is noted in `invitation.mail_failed`, never raised.

    The invitation is stored by then: the office sends it again when the mail server is back. Where no mail reaches
    anybody, `invitation.link_to_hand_over` is the link, for who invites and this once: only its hash is kept.
    """
    link = settings.PUBLIC_URL + reverse("invitation-accept", args=[token])
    context = {
        "invitation": invitation,
        "buildings": list(invitation.buildings.values_list("name", flat=True)),
        "link": link,
    }
    message = EmailMessage(
        subject="Your log-in to the smoke control register",
        body=render_to_string("sites_registry/mail/invitation.txt", context),
        to=[invitation.email],
    )
    invitation.mail_failed, reason = False, ""
    try:
        message.send()
    except Exception as error:  # whatever a mail backend raises must not turn a stored invitation into an error page
        logger.exception("The invitation %s could not be mailed.", invitation.pk)
        invitation.mail_failed, reason = True, reason_of(error)
    if mail_is_sent():
        keep_sent(
            kind=Mail.Kind.INVITATION,
            address=invitation.email,
            subject=message.subject,
            body=message.body.replace(link, "(the link is not kept)"),
            reason=reason,
        )
    if invitation.mail_failed or not mail_is_sent():
        invitation.link_to_hand_over = link
