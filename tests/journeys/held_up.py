"""A printed label of the office, held before the phone's camera.

Chromium plays a file of pictures as its camera. `python -m tests.journeys.held_up` draws a label as
the product prints it, in the office's environment, since only there its database is.
"""

import io
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageFilter

from nursery.services import demo
from tests.journeys.offices import Office
from tests.steps import ROOT

# Of 1280 x 720, with 60 degrees across at 25 cm: 0.23 mm to a pixel. The usual label is 70 x 37 mm.
SEEN = (1280, 720)
DOTS_PER_INCH = 25.4 / 0.23
FRAMES = 5
FLAGS = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]


@dataclass(frozen=True)
class Camera:
    """The file that the browser takes for its camera; it is read anew whenever the camera opens."""

    file: Path

    def flags(self) -> list[str]:
        return [*FLAGS, f"--use-file-for-fake-video-capture={self.file}"]

    def shows(self, *pictures: Image.Image) -> None:
        """Hold pictures beside each other before a bench, in the middle, a little out of focus."""
        view = Image.new("RGB", SEEN, (120, 130, 110))
        left = (SEEN[0] - sum(one.width + 8 for one in pictures)) // 2
        for one in pictures:
            view.paste(one, (left, (SEEN[1] - one.height) // 2))
            left += one.width + 8
        view = view.filter(ImageFilter.GaussianBlur(0.8))
        frame = io.BytesIO()
        view.save(frame, "JPEG", quality=85, subsampling=2)
        self.file.write_bytes(frame.getvalue() * FRAMES)


def label(office: Office, batch: str = "", place: str = "") -> Image.Image:
    """Return the picture of one printed label of the office."""
    words = [sys.executable, "-m", "tests.journeys.held_up", batch, place]
    told = office.told(demo.EVENINGS[3]) | {"DJANGO_SETTINGS_MODULE": "config.settings"}
    done = subprocess.run(words, cwd=ROOT, env=told, check=True, stdout=subprocess.PIPE)
    sheet = Image.open(io.BytesIO(done.stdout)).convert("RGB")
    # The first label of the sheet.
    width, height = (round(side / 25.4 * DOTS_PER_INCH) for side in (70, 37))
    return sheet.crop((0, 2, width, height + 2))


def main() -> None:
    import django  # noqa: PLC0415  # a process of its own, set up before it imports

    django.setup()
    from nursery.paper import labels, typeset  # noqa: PLC0415  # as above

    batch, place = sys.argv[1:]
    wanted = labels.Wanted((batch,) if batch else (), (place,) if place else (), each=1)
    data, day = labels.composed(demo.NURSERY, wanted, demo.EVENINGS[3])
    (page,) = typeset.pictures(labels.TEMPLATE, data, day, DOTS_PER_INCH)
    sys.stdout.buffer.write(page)


if __name__ == "__main__":
    main()
