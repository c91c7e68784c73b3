"""What a phone's camera would hand over, and what the phone made of it, read back byte by byte."""

import base64
import io
import random
from pathlib import Path
from typing import Any

from PIL import ExifTags, Image, ImageDraw
from playwright.sync_api import Page

TWELVE_MEGAPIXELS = (4032, 3024)
SOUTH_EAST = {1: "S", 2: (17.0, 30.0, 12.5), 3: "E", 4: (145.0, 2.0, 3.0)}

# The red quarter is the upper left one of the picture as the camera's chip saw it.
RED = (200, 30, 30)

KEPT = """async ([subject, which]) => {
  const asked = (request) => new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  const shelf = await asked(indexedDB.open("photos"));
  const all = (store) => asked(shelf.transaction(store).objectStore(store).getAll());
  const files = new Map((await all("files")).map((file) => [file.id, file]));
  const facts = (await all("facts")).filter((fact) => fact.subject === subject);
  const found = await Promise.all(facts.map(async (fact) => {
    const bytes = new Uint8Array(await new Response(files.get(fact.id)[which]).arrayBuffer());
    let text = "";
    for (const byte of bytes) text += String.fromCharCode(byte);
    return { ...fact, base64: btoa(text) };
  }));
  shelf.close();
  return found;
}"""


def photograph(
    path: Path,
    *,
    seed: int = 1,
    size: tuple[int, int] = TWELVE_MEGAPIXELS,
    lying: int = 6,
    noise: bool = False,
) -> Path:
    """Make a JPEG of leaves (or of noise alone) with EXIF: a place, a maker, how it lies."""
    chance = random.Random(seed)
    wide, high = size
    if noise:
        picture = Image.frombytes("RGB", size, chance.randbytes(wide * high * 3))
    else:
        ground = Image.effect_noise((wide // 8, high // 8), 60)
        picture = ground.resize(size, Image.Resampling.BICUBIC).convert("RGB")
        drawn = ImageDraw.Draw(picture)
        for _ in range(160):
            x, y = chance.randrange(wide), chance.randrange(high)
            across, down = chance.randrange(60, 600), chance.randrange(40, 300)
            green = (chance.randrange(20, 90), chance.randrange(80, 190), chance.randrange(20, 80))
            drawn.ellipse((x, y, x + across, y + down), fill=green)
        drawn.rectangle((0, 0, wide // 2, high // 2), fill=RED)
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = lying
    exif[ExifTags.Base.Make] = "A maker of cameras"
    exif[ExifTags.IFD.GPSInfo] = SOUTH_EAST
    picture.save(path, quality=92, exif=exif)
    return path


def kept(page: Page, subject: str, which: str = "data") -> list[dict[str, Any]]:
    """Return the photos of a batch or place that this phone keeps, each with its bytes, opened."""
    found = page.evaluate(KEPT, [subject, which])
    for photo in found:
        photo["file"] = base64.b64decode(photo.pop("base64"))
        photo["picture"] = Image.open(io.BytesIO(photo["file"]))
    return sorted(found, key=lambda photo: str(photo["takenAt"]))


def take(page: Page, what: str, file: Path, *, again: bool = False) -> None:
    """Open the camera at one of the shots, and come back with a picture."""
    with page.expect_file_chooser() as chooser:
        page.get_by_label(f"Take {'again' if again else 'photo'}: {what}").click()
    chooser.value.set_files(file)
