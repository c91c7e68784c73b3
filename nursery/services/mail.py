"""Plain e-mail through Django: into files of the data folder, or by SMTP where one is named."""

import logging
from contextlib import closing
from smtplib import SMTPRecipientsRefused, SMTPResponseException

from django.conf import settings
from django.core.mail import EmailMessage, get_connection

from nursery.services.outcome import Outcome

log = logging.getLogger("nursery.mail")


def send(address: str, subject: str, body: str) -> Outcome:
    """Hand one e-mail over. Tried once: who knows whether a silent server took it?

    One that says by 4xx that it did not take it now may take it later (RFC 5321, 4.2.1).
    """
    server = get_connection()
    letter = EmailMessage(subject, body, settings.DEFAULT_FROM_EMAIL, [address], connection=server)
    try:
        # One that was greeted and not signed in to would stay open.
        with closing(server):
            taken = letter.send()
    except SMTPRecipientsRefused as refused:
        codes = [code for code, _ in refused.recipients.values()]
        return Outcome.LATER if all(map(_passes, codes)) else Outcome.GONE
    except SMTPResponseException as refused:
        log.warning("an e-mail was not taken: %s", refused.smtp_code)
        return Outcome.LATER if _passes(refused.smtp_code) else Outcome.FAILED
    except OSError as error:
        # SMTP's own exceptions are of this kind; what they say may name the account.
        log.warning("an e-mail was not taken: %s", type(error).__name__)
        return Outcome.FAILED
    return Outcome.SENT if taken else Outcome.FAILED


def _passes(code: int) -> bool:
    """Whether an answer speaks of now alone."""
    return 400 <= code < 500  # the class of answers, RFC 5321, 4.2.1
