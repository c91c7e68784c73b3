"""What every test of the services has."""

from typing import Any

import pytest


@pytest.fixture(autouse=True)
def quick_hashes(settings: Any) -> None:
    """A slow hash is what a password needs, and what a thousand accounts of a test do not."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
