"""The release file: paper of 20 batches over two years with 200 photos, and signed files checked.

Run `python -m tests.bench.bench_release [records] [folder]`. The first part works the facts out,
puts them into words, signs them and sets the PDF; the second checks a signed file of so many
records (100 000) by the command's way and by the page's own program in Node. It prints the
processor time of each and, as the machine's measure, the time to hash the same bytes once. With a
folder it leaves the PDF and the signed file there, to be looked at.
"""

# ruff: noqa: PLC0415  Django is loaded once its settings are there

import io
import json
import subprocess
import sys
from collections.abc import Callable, Sequence
from datetime import timedelta
from functools import partial
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time
from typing import Any

from tests.bench import fresh, table
from tests.domain.house import House, instant, place
from tests.domain.house import term as term_of

WEEKS, BATCHES, PHOTOS = 104, 20, 200
RECORDS = 100_000
GOALS = {"PDF, with photos": 5.0, "signed file checked": 1.0}
BEGAN = "2031-03-03 07:30"


def two_years(digests: Sequence[str]) -> House:
    """One room of 20 batches: a look-over a week each, traps, people, losses, two inspections."""
    house = House()
    house.row("nursery", "veshmere", {"name": "Veshmere Terraces", "zone": "Etc/GMT-10"})
    terms = [
        term_of("days", "growing_days", {"days": 730}),
        term_of("look", "look_over", {}),
        term_of("first", "inspection", {"number": 1, "active_growth": True}),
        term_of("last", "inspection", {"number": 2, "most_days_before_release": 7}),
        term_of("most", "most_plants", {"plants": 1200}),
    ]
    permit = {"reference": "CQ-118", "holder": "Veshmere Terraces", "terms": terms}
    house.row("permit", "cq-118", permit)
    for kind, ident, body in (place(f"trap-{at}", "trap", "room") for at in range(5)):
        house.row(kind, ident, body)
    trays = tuple(f"t{at:02d}" for at in range(1, BATCHES + 1))
    house.arrive(BEGAN, trays)
    for tray in trays:
        house.count(tray, 54, BEGAN)
    for week in range(WEEKS):
        _week(house, trays, week)
    for at, (tray, day) in enumerate((tray, day) for tray in trays for day in range(10)):
        when = _later(BEGAN, weeks=day * 10, minutes=at)
        photo = {"photo": f"picture-{at:03d}", "width": 1600, "height": 1200}
        photo["sha256"] = digests[at]
        house.add("photographed", tray, when, {**photo, "shows": "root ball"})
    for number in (40, 103):
        seen = {"inspector": "Maro Hestel", "answer": "nothing", "plants": 54}
        when = _later(BEGAN, weeks=number)
        house.add("inspected", trays, when, {**seen, "active_growth": True, "photo": "paper"})
    return house


def _week(house: House, trays: tuple[str, ...], week: int) -> None:
    at = _later(BEGAN, weeks=week, minutes=60)
    house.add("entered", "room", at, {"purpose": "weekly_round"}, by="w1")
    house.looked(at, trays, "found" if week % 17 == 3 else "nothing")
    for trap in range(5):
        house.add("trapped", f"trap-{trap}", at, {"answer": "read"}, by="w1")
    house.add("left", "room", _later(at, minutes=95), {}, by="w1")
    if week % 13 == 5:
        tray = trays[week % len(trays)]
        lost = house.add("lost", tray, at, {"count": 2, "fate": "died", "kept": True}, by="w2")
        body = {"count": 1, "fate": "died", "kept": True, "fix": "miscounted", "saw": lost}
        house.add("lost", tray, at, body, corrects=lost)


def _later(when: str, **more: int) -> str:
    local = instant(when) + timedelta(hours=10) + timedelta(**more)
    return local.strftime("%Y-%m-%d %H:%M")


def kept_pictures() -> list[str]:
    """Put as many photos into the office as phones send them, some 300 kB each."""
    from PIL import Image, ImageFilter

    from nursery.services import clock, kept_photos, nurseries, photos

    nurseries.begin("veshmere", "Veshmere Terraces", "Etc/GMT-10")
    noise = Image.effect_noise((1600, 1200), 60).convert("RGB")
    leaf = noise.filter(ImageFilter.GaussianBlur(1.2))
    found = []
    for at in range(PHOTOS):
        file = io.BytesIO()
        Image.eval(leaf, partial(_turned, at)).save(file, "JPEG", quality=72)
        found.append(kept_photos.keep("veshmere", file.getvalue()))
    photos.adopt("veshmere", clock.now())
    for digest in found:
        photos.draw("veshmere", digest)
    return found


def _turned(by: int, level: int) -> int:
    return (level + by) % 256


def timed(name: str, work: Callable[[], Any]) -> Any:
    """Print the processor time of a first and a second run; what sets type keeps much in mind."""
    times, result = [], None
    for _ in range(2):
        began = process_time()
        result = work()
        times.append(process_time() - began)
    told = f"{times[0]:.2f} s, again {times[1]:.2f} s"
    if name in GOALS:
        goal = GOALS[name]
        table.note(f"release: {name}", f"{goal:.0f} s", told, reached=times[0] <= goal)
    else:
        print(f"{name:44} {told}")
    return result


def paper(folder: Path) -> None:
    from nursery.paper import bundle, bundle_check, pictures, release_file, release_words
    from nursery.paper.release_file import Made
    from tests.domain.release_scene import file_of
    from tests.paper.releases import release_of

    house = two_years(kept_pictures())
    print(f"{BATCHES} batches, {WEEKS} weeks, {len(house.raws)} records, {PHOTOS} photos")
    facts = timed("facts", lambda: file_of(house, "2033-02-28"))
    told, photos = timed(
        "photos made small", lambda: pictures.gathered("veshmere", facts["photos"])
    )
    facts |= {"as_of_seq": len(house.raws), "photos": told}
    pages = timed("words in both languages", lambda: release_words.pages(facts))
    texts = [(raw["id"], json.dumps(raw)) for raw in house.raws]
    release = release_of(texts, set(range(1, len(texts) + 1)), facts)
    signed = timed("signed file, with photos", lambda: bundle.make(release, pages, photos))
    made = Made(release, pages, signed, photos)
    pdf = timed("PDF, with photos", lambda: release_file.pdf(made, "en"))
    found = timed("signed file checked", lambda: bundle_check.check(signed.content))
    timed("  its bytes hashed once", lambda: sha256(signed.content).digest())
    assert found.holds, found.faults
    print(f"PDF {len(pdf) / 2**20:.1f} MB, signed file {len(signed.content) / 2**20:.1f} MB")
    (folder / "release.pdf").write_bytes(pdf)
    (folder / "release.html").write_bytes(signed.content)
    in_page(folder / "release.html")


def records(many: int, folder: Path) -> None:
    from nursery.paper import bundle, bundle_check
    from tests.paper.releases import release_of

    body = {"kind": "looked", "about": ["b-1"], "body": {"answer": "nothing", "plants": 54}}
    filling = {"device": "d-4", "install": "i-51", "author": "p-9", "salt": "6f" * 16}
    texts = [(f"e-{at}", json.dumps({"id": f"e-{at}", **body, **filling})) for at in range(many)]
    release = release_of(texts, set(range(1, many + 1)), {"on": "2031-05-20"})
    signed = timed(f"signed file of {many} records", lambda: bundle.make(release, {}))
    print(f"  {len(signed.content) / 2**20:.1f} MB")
    found = timed("  checked by the command's way", lambda: bundle_check.check(signed.content))
    timed("  its bytes hashed once", lambda: sha256(signed.content).digest())
    assert found.holds, found.faults
    assert found.records == many
    file = folder / "many.html"
    file.write_bytes(signed.content)
    in_page(file)


def in_page(file: Path) -> None:
    """Check a file by the page's own program, in Node."""
    from nursery.paper import shell
    from tests.paper.test_page_program import PAGE, RUNNER

    files = [str(PAGE / name) for name in shell.PROGRAM if name != "show.js"]
    asked = json.dumps([{"do": "timed", "file": str(file)}])
    words = ["node", "--max-old-space-size=4096", str(RUNNER), *files]
    done = subprocess.run(words, input=asked, capture_output=True, text=True, check=True)
    (told,) = json.loads(done.stdout)
    assert told["faults"] == []
    print(f"{'  checked by the page itself, in Node':44} {told['seconds']:7.2f} s")


def main() -> None:
    many = int(sys.argv[1]) if len(sys.argv) > 1 else RECORDS
    with fresh.database(), TemporaryDirectory() as name:
        from django.conf import settings

        settings.SIGNING_KEYS = ["a secret of the benchmark"]
        settings.PHOTOS = Path(name) / "photos"
        folder = Path(sys.argv[2]) if len(sys.argv) > 2 else Path(name)
        paper(folder)
        records(many, folder)


if __name__ == "__main__":
    main()
