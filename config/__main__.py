"""The `nursery` command.

`up`, `web`, `worker`, `beat` and `trust` are processes of the product; every other word is a
command of Django's kind (`nursery/ops/management/commands/`, and Django's own).
"""

import os
import sys
from contextlib import nullcontext
from pathlib import Path

from config import folder
from config.env import SettingWrong
from config.errors import CannotRun

HELP = """\
nursery: the book of a nursery and its quarantine.

  nursery up [--demo] [--port P] [--host H]   run everything on this computer
  nursery up --tls [--name HOST]              the same for phones on the office Wi-Fi
  nursery up --certificate FILE --key FILE --name HOST   the same with a real domain's certificate
  nursery begin NAME --zone Z --grower G --email E   begin a nursery of your own
  nursery doctor                              say what is right and what is not
  nursery backup | restore FILE               keep the book safe, and bring it back
  nursery export | import FILE --as NAME      take the whole book away; bring it in elsewhere
  nursery demo --day N                        play the demo's story up to a day
  nursery demo --large [--entries N]          write a large invented book into an empty folder
  nursery verify | refold                     prove the book; work its state out again
  nursery verify FILE [--key FINGERPRINT]     check a signed release file, without any book

  nursery web | worker | beat                 one process, for a server
  nursery help                                every other command

Before or after the command: --data FOLDER (or NURSERY_DATA), --demo for the demo's own folder.
Each command has --help.
"""

READ_THE_CODE_ALONE = frozenset({"check", "help", "makemigrations", "spectacular", "version"})


def main(argv: list[str] | None = None) -> int:
    """Run one command and return its exit code."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    os.umask(0o077)  # what is written here is this user's alone
    try:
        words = _take_common(sys.argv[1:] if argv is None else argv)
        return _run(words)
    except CannotRun as error:
        print(f"nursery: {error}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130


def _take_common(argv: list[str]) -> list[str]:
    """Take the words that every command understands, and leave the others."""
    left: list[str] = []
    words = iter(argv)
    for word in words:
        if word == "--demo":
            os.environ["NURSERY_DEMO"] = "yes"
        elif word == "--data":
            folder = next(words, "")
            if not folder:
                raise SettingWrong("--data", "", "Name a folder after it.")
            os.environ["NURSERY_DATA"] = folder
        elif word.startswith("--data="):
            os.environ["NURSERY_DATA"] = word.removeprefix("--data=")
        else:
            left.append(word)
    if "NURSERY_DATA" in os.environ:
        os.environ["NURSERY_DATA"] = str(Path(os.environ["NURSERY_DATA"]).expanduser().absolute())
    return left


def _run(words: list[str]) -> int:
    if not words or words[0] in {"-h", "--help"}:
        print(HELP, end="")
        return 0
    command, *rest = words
    if command == "demo":
        os.environ["NURSERY_DEMO"] = "yes"  # never into a person's own book
    if command == "up":
        from config import up

        return up.main(rest)
    if command in {"web", "worker", "beat", "trust"}:
        from config import processes

        return processes.main(command, rest)
    return _django(words)


def _django(words: list[str]) -> int:
    from django.conf import settings
    from django.core.management import execute_from_command_line

    if not settings.EMBEDDED_QUEUE:
        import config.celery  # noqa: F401  so that a command can tell the workers of a job it wrote
    if words[0] not in READ_THE_CODE_ALONE and not _checks_a_file(words):
        folder.prepare(settings.DATA)
    # Nothing else may have the folder's book open while another is put in its place.
    held = folder.held(settings.DATA) if words[0] == "restore" else nullcontext()
    with held:
        execute_from_command_line(["nursery", *words])
    return 0


def _checks_a_file(words: list[str]) -> bool:
    """Whether a release file is to be checked, on a computer that need not have a book."""
    return words[0] == "verify" and any(not word.startswith("-") for word in words[1:])


if __name__ == "__main__":
    sys.exit(main())
