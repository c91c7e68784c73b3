"""Photos in object storage. Loaded only where the settings name a bucket: it needs an extra."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from boto3.s3.transfer import TransferConfig
from botocore.config import Config
from botocore.exceptions import BotoCoreError, ClientError
from django.core.files.base import File
from storages.backends.s3 import S3Storage

from nursery.services.errors import PhotosAway

# A phone that waits for an answer gives up after a minute, and a person sooner.
CONNECT_SECONDS, READ_SECONDS = 5, 20
# Larger than any photo: one goes and comes in one piece, and is there whole or not at all.
ONE_PIECE = 16 * 1024 * 1024


class PhotoBucket(S3Storage):  # type: ignore[misc]  # the library ships no types
    """A bucket of photos, private, each under its hash. What is not to be reached says so.

    Sums are sent where the service asks for them alone: not every one takes the newer kind.
    """

    def get_default_settings(self) -> dict[str, Any]:
        found: dict[str, Any] = super().get_default_settings()
        return found | {
            "default_acl": None,
            "file_overwrite": True,
            "transfer_config": TransferConfig(multipart_threshold=ONE_PIECE, use_threads=False),
            "client_config": Config(
                connect_timeout=CONNECT_SECONDS,
                read_timeout=READ_SECONDS,
                retries={"total_max_attempts": 3, "mode": "standard"},
                request_checksum_calculation="when_required",
                response_checksum_validation="when_required",
                s3={"addressing_style": "path"},
            ),
        }

    def content_of(self, name: str) -> bytes:
        """Return the bytes of a file.

        Raises:
            FileNotFoundError: there is none of this name.
        """
        with _told_as_away(), self.open(name) as file:
            return bytes(file.read())

    def exists(self, name: str) -> bool:
        with _told_as_away():
            return bool(super().exists(name))

    def listdir(self, path: str) -> tuple[list[str], list[str]]:
        with _told_as_away():
            folders, files = super().listdir(path)
            return list(folders), list(files)

    def _save(self, name: str, content: "File[Any]") -> str:
        with _told_as_away():
            return str(super()._save(name, content))


@contextmanager
def _told_as_away() -> Iterator[None]:
    try:
        yield
    except (BotoCoreError, ClientError) as error:
        raise PhotosAway(value=type(error).__name__) from error
