"""Photos on this computer's disk: whole or not at all, on the disk before anybody hears of it."""

import os
import tempfile
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.files.base import File
from django.core.files.storage import FileSystemStorage
from django.utils.deconstruct import deconstructible

from nursery.services import disk

PRIVATE_FOLDER = 0o700


@deconstructible
class PhotoDisk(FileSystemStorage):
    """The folder of photos. A name is a hash, so that what has it already is the same."""

    # The settings are read each time, not once.
    @property
    def base_location(self) -> str:
        return str(settings.PHOTOS)

    @property
    def location(self) -> str:
        return str(Path(settings.PHOTOS).absolute())

    def get_available_name(self, name: str, max_length: int | None = None) -> str:
        del max_length
        return name

    def _save(self, name: str, content: "File[Any]") -> str:
        place = Path(self.path(name))
        place.parent.mkdir(mode=PRIVATE_FOLDER, parents=True, exist_ok=True)
        handle, draft = tempfile.mkstemp(dir=place.parent)  # readable by this user alone
        try:
            with os.fdopen(handle, "wb") as file:
                for piece in content.chunks():
                    file.write(piece)
                file.flush()
                os.fsync(file.fileno())
            Path(draft).replace(place)
        except OSError:
            Path(draft).unlink(missing_ok=True)
            raise
        disk.flush_names(place.parent)
        return name
