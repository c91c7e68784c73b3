"""Say what is right and what is not, with the remedy."""

import shutil
import urllib.error
import urllib.request
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

from cryptography import x509
from django.conf import settings
from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.services import clock, health
from nursery.services.health import Finding

# What is seen, and what to do about it, by code of the finding.
WORDS = {
    "database": ("the database answers", "Check NURSERY_DATABASE_URL, or start the server."),
    "migrations": ("the tables fit this version", "Run: nursery upgrade"),
    "isolated": (
        "the database keeps the nurseries apart",
        health.SERVE_BY_ANOTHER,
    ),
    "queue": ("no job waits long", "Is the worker running? nursery up, or nursery worker"),
    "beat": ("the beat looks what is due", "Is it running? nursery up, or nursery beat"),
    "commits": (
        "what is answered is on the disk",
        "Turn these settings on in the database server: a power cut would cost records.",
    ),
    "backup": ("there is a fresh, tried backup", "Run: nursery backup"),
    "lines": (
        "what came since is copied beside it",
        "Is there room, and may this user write there? The log of the worker says why.",
    ),
    "failed_jobs": ("no job was given up", "Look at the log for these kinds of job."),
    "folder": ("the data folder is this user's alone", "Run: chmod 700 on the folder."),
    "secret": ("the secret is this user's alone", "Run: chmod 600 on the file."),
    "signing_key": (
        "the key that signs release files is this user's alone, and in no backup",
        "Run: chmod 600 on the file.",
    ),
    "authority": ("the key that signs for phones is this user's alone", "Run: chmod 600 on it."),
    "certificate": (
        "phones can trust this computer",
        "Is the clock right? Near the authority's end, let phones send, then: up --tls --anew",
    ),
    "space": ("there is room on the disk", "Make room: the book must never be cut short."),
    "app": ("the phone app is built", "Run: cd frontend && npm ci && npm run build"),
}
LEAST_FREE_BYTES = 500_000_000
AUTHORITY_NEARS_ITS_END = timedelta(days=180)


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--ready", metavar="ADDRESS", help="ask a running server instead, for containers"
        )

    def handle(self, *_args: Any, **options: Any) -> None:
        if options["ready"]:
            self._ask(options["ready"])
            return
        bad = 0
        for finding in findings():
            says, remedy = WORDS[finding.code]
            seen = ", ".join(f"{key} {value}" for key, value in finding.params.items())
            mark = "ok  " if finding.good else "NOT "
            self.stdout.write(f"{mark} {says}{f' ({seen})' if seen else ''}")
            if not finding.good:
                bad += 1
                self.stdout.write(f"      {remedy}")
        if bad:
            raise CommandError(f"{bad} to put right.")

    def _ask(self, address: str) -> None:
        try:
            with urllib.request.urlopen(address, timeout=5) as answer:  # noqa: S310  given by an operator
                self.stdout.write(answer.read().decode())
        except urllib.error.HTTPError as error:
            raise CommandError(error.read().decode()) from error
        except OSError as error:
            raise CommandError(f"{address} does not answer: {error}") from error


def findings() -> Iterator[Finding]:
    """Yield what was looked at, from the disk upwards."""
    folder = settings.DATA
    if folder.exists():
        free = shutil.disk_usage(folder).free
        yield Finding("space", free > LEAST_FREE_BYTES, {"free MB": free // 1_000_000})
        yield _private("folder", folder)
        secret = folder / "keys" / "secret_key"
        if secret.exists():
            yield _private("secret", secret)
        if settings.SIGNING_FILE.exists():
            yield _private("signing_key", settings.SIGNING_FILE)
        yield from _certificates(folder / "keys" / "tls")
    ready = health.readiness()
    yield from ready
    if all(finding.good for finding in ready if finding.code in {"database", "migrations"}):
        yield health.isolated()
        yield health.commits()
        yield health.backup_age()
        yield health.lines_age()
        yield health.failed_jobs()
    yield Finding("app", settings.WEB_ROOT is not None, {})


def _certificates(place: Path) -> Iterator[Finding]:
    """Look at what `nursery up --tls` made; it renews the web server's certificate by itself."""
    if not place.exists():
        return
    try:
        web, root = (
            x509.load_pem_x509_certificate((place / name).read_bytes())
            for name in ("web.pem", "root.pem")
        )
    except (OSError, ValueError):
        yield Finding("certificate", good=False, params={"path": place})
        return
    yield _private("authority", place / "signer.key")
    now, ends = clock.unshifted(), root.not_valid_after_utc
    seen: dict[str, object] = {
        "ends": f"{web.not_valid_after_utc:%Y-%m-%d}",
        "authority ends": f"{ends:%Y-%m-%d}",
    }
    good = root.not_valid_before_utc <= now < ends - AUTHORITY_NEARS_ITS_END
    yield Finding("certificate", good, seen)


def _private(code: str, place: Any) -> Finding:
    mode = place.stat().st_mode & 0o777
    return Finding(code, not mode & 0o077, {"path": place, "mode": f"{mode:o}"})
