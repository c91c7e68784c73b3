"""The same people as the API's tests have."""

from tests.api.conftest import cast, fixed_clock, quick_hashes, tray, writer

__all__ = ["cast", "fixed_clock", "quick_hashes", "tray", "writer"]
