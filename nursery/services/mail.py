"""Plain e-mail through Django: into files of the data folder, or by SMTP where one is named."""

import logging
from smtplib import SMTPRecipientsRefused

from django.conf import settings
from django.core.mail import EmailMessage

from nursery.services.outcome import Outcome

log = logging.getLogger("nursery.mail")


def send(address: str, subject: str, body: str) -> Outcome:
    """Hand one e-mail over. Tried once: who knows whether a silent server took it?"""
    letter = EmailMessage(subject, body, settings.DEFAULT_FROM_EMAIL, [address])
    try:
        taken = letter.send()
    except SMTPRecipientsRefused:
        return Outcome.GONE
    except OSError as error:
        # SMTP's own exceptions are of this kind; what they say may name the account.
        log.warning("an e-mail was not taken: %s", type(error).__name__)
        return Outcome.FAILED
    return Outcome.SENT if taken else Outcome.FAILED
