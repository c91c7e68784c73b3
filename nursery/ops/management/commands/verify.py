"""Prove the book, or a release file: work everything out anew, and say where it breaks first.

Without FILE it walks the chain of this book. With one it checks a signed release file by itself,
for which neither a book nor a data folder is needed.
"""

from pathlib import Path
from typing import Any

from django.core.management import BaseCommand, CommandError, CommandParser

from nursery.ops import asked
from nursery.paper import bundle_check
from nursery.paper.bundle_check import Checked
from nursery.services import signing, verify, words


class Command(BaseCommand):
    help = __doc__

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", nargs="?", metavar="FILE", help="a signed release file")
        parser.add_argument("--key", metavar="FINGERPRINT", help="the key that must have signed it")
        asked.add_nursery(parser)

    def handle(self, *_args: Any, **options: Any) -> None:
        if options["file"] is not None:
            self._file(Path(options["file"]), options["key"])
            return
        if options["key"] is not None:
            raise CommandError("--key goes with a FILE: nursery verify FILE --key FINGERPRINT")
        self._book(options["nursery"])

    def _book(self, wanted: str | None) -> None:
        broken = 0
        for nursery in asked.nurseries(wanted):
            faults = verify.chain(nursery)
            broken += bool(faults)
            said = "the chain is broken" if faults else "the chain holds"
            self.stdout.write(f"{nursery}: {said}.")
            for fault in faults:
                self.stdout.write(f"  {fault}")
        if broken:
            raise CommandError("Restore a backup: nursery restore FILE. Phones send again.")

    def _file(self, file: Path, key: str | None) -> None:
        try:
            content = file.read_bytes()
        except OSError as error:
            raise CommandError(f"{file}: {error.strerror}.") from error
        found = bundle_check.check(content, key)
        if found.fingerprint:
            self.stdout.write(f"Key: {found.fingerprint}, {_whose(found, key)}.")
        if not found.holds:
            self.stdout.write("Not what was signed. What does not hold:")
            for fault in found.faults:
                self.stdout.write(f"  {fault}: {_in_words(fault)}")
            raise CommandError(f"{file} is not verified.")
        self.stdout.write("\n".join(_told(found)))


def _told(found: Checked) -> list[str]:
    seal = found.seal or {}
    records = f"{found.records} records and {found.photos} photos"
    lines = [
        "Verified: this is what was signed.",
        f"  {seal['nursery']}, consignment {seal['consignment']}, as of {seal['on']}",
        f"  {records}, in a book of {found.size} lines, as it stood {found.at}",
        "It is the nursery's own record, and no official certificate.",
    ]
    if not found.own_shell:
        lines.append("Its page is of another version of this program: read it, but check it here.")
    return lines


def _whose(found: Checked, key: str | None) -> str:
    """Say what is known of the key: the one asked for, this book's own, or not known here."""
    if key is not None:
        return "the one asked for" if bundle_check.same_key(key, found.fingerprint) else "another"
    seal = found.seal or {}
    if found.fingerprint in signing.fingerprints(str(seal.get("nursery", ""))):
        return "this book's own"
    return "not known here: compare it with the printed file, or ask the nursery"


def _in_words(fault: str) -> str:
    part, _, name = fault.partition(" ")
    return words.say("en", f"proof.part.{part}", {"name": name})
