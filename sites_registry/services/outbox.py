"""The outbox: mails wait there for the worker, which sends them and keeps what became of each."""

import logging
from datetime import timedelta

from django.core.mail import EmailMessage
from django.db.models import F
from django.utils import timezone

from sites_registry.models import Mail
from sites_registry.services.refusals import Refused

logger = logging.getLogger(__name__)

# After each failed try; after the last one somebody has to look.
WAITS = tuple(timedelta(minutes=minutes) for minutes in (5, 30, 120, 480, 1440))
MOST_OF_A_REASON = 300
MOST_AT_ONCE = 50


class NotTriedAgain(Refused):
    """The mail has not failed."""


def queue_mail(*, kind, person, subject, body):
    """Put a mail in the outbox, in the transaction of what it tells."""
    return Mail.objects.create(kind=kind, person=person, address=person.email, subject=subject[:200], body=body)


def keep_sent(*, kind, address, subject, body, reason=""):
    """Keep a mail that a page sent itself, without what opens something; `reason` where it could not be sent."""
    state, sent_at = (Mail.State.FAILED, None) if reason else (Mail.State.SENT, timezone.now())
    return Mail.objects.create(
        kind=kind, address=address, subject=subject, body=body, state=state, sent_at=sent_at, tries=1, reason=reason
    )


def send_waiting():
    """Send what waits, each on its own; returns (how many were sent, how many failed)."""
    sent = failed = 0
    for mail in Mail.objects.to_send()[:MOST_AT_ONCE]:
        if not _taken(mail):  # another worker was quicker
            continue
        if _sent(mail):
            sent += 1
        else:
            failed += 1
    return sent, failed


def _taken(mail):
    """Whether this worker may try it: the try is counted before it is made, so that a kill in between is one, too."""
    wait = WAITS[min(mail.tries, len(WAITS) - 1)]
    mine = Mail.objects.filter(pk=mail.pk, tries=mail.tries, state=Mail.State.QUEUED)
    return mine.update(tries=F("tries") + 1, next_try_at=timezone.now() + wait) == 1


def _sent(mail):
    here = Mail.objects.filter(pk=mail.pk)
    try:
        EmailMessage(subject=mail.subject, body=mail.body, to=[mail.address]).send()
    except Exception as error:  # whatever a mail server answers, the other mails are sent
        logger.exception("Mail %s could not be sent. It is tried again.", mail.pk)
        is_last = mail.tries + 1 > len(WAITS)
        state = Mail.State.FAILED if is_last else Mail.State.QUEUED
        here.update(state=state, reason=reason_of(error))
        return False
    here.update(state=Mail.State.SENT, sent_at=timezone.now(), reason="")
    return True


def reason_of(error):
    """Why a mail was not sent, in the words of the mail server."""
    return " ".join(f"{type(error).__name__}: {error}".split())[:MOST_OF_A_REASON]


def try_again(*, mail):
    """Put a failed mail back into the outbox. Raises NotTriedAgain."""
    again = Mail.objects.filter(pk=mail.pk, state=Mail.State.FAILED).exclude(kind=Mail.Kind.INVITATION)
    if not again.update(state=Mail.State.QUEUED, tries=0, next_try_at=timezone.now()):
        raise NotTriedAgain("Only a mail that failed is tried again; an invitation is sent again from its own page.")
