"""Push without end to the database that the environment names, and print what is acknowledged.

    python -m tests.sync.writer NUMBER

Each line is the id of an entry whose push was answered. It ends when the database does.
"""

# ruff: noqa: PLC0415  the settings are read when Django is loaded

import sys
from datetime import timedelta

NURSERY = "veshmere"
AT_ONCE = 20
OF_A_BATCH = 200


def main() -> int:
    import django

    django.setup()
    from django.db import DatabaseError

    from nursery.services import clock, log, nurseries
    from nursery.services.installs import Outbox
    from tests.phone import Writer

    number = int(sys.argv[1])
    if NURSERY not in nurseries.every():
        nurseries.begin(NURSERY, "Veshmere Terraces", "Etc/GMT-10")
    writer = Writer(f"w{number}", number=number)
    box = Outbox(install=f"i-w{number}", device=f"d-w{number}")
    while True:
        begun, batch = clock.now(), f"b-{number}-{writer.n // OF_A_BATCH}"
        texts = [
            writer.write("noted", [batch], {"text": "x"}, begun + timedelta(0, 0, serial))
            for serial in range(AT_ONCE)
        ]
        writer.written.clear()
        try:
            receipt = log.receive(NURSERY, box, texts, begun)
        except DatabaseError:
            return 0
        sys.stdout.writelines(f"{outcome.id}\n" for outcome in receipt.outcomes)
        sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
