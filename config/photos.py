"""Where photos lie: in the data folder, or in the bucket that the settings name."""

from importlib.util import find_spec
from typing import Any

from config.env import Env, SettingWrong

BUCKET = "NURSERY_PHOTOS_BUCKET"
# What means something only where there is a bucket.
BESIDE = ("ENDPOINT", "REGION", "PREFIX", "KEY_ID", "KEY")
ENDPOINT_EXAMPLE = "https://objects.example:9000"


def storage(env: Env) -> dict[str, Any]:
    """Return Django's description of the storage of photos."""
    bucket = env.text(BUCKET)
    if not bucket:
        _refuse_without_bucket(env)
        return {"BACKEND": "nursery.services.photo_disk.PhotoDisk"}
    if find_spec("storages") is None or find_spec("boto3") is None:
        raise SettingWrong(
            BUCKET, bucket, "Install what it needs: pip install 'lathhouse[objects]'."
        )
    env.address("NURSERY_PHOTOS_ENDPOINT", ("https", "http"), ENDPOINT_EXAMPLE)
    key_id, key = env.text("NURSERY_PHOTOS_KEY_ID"), env.text("NURSERY_PHOTOS_KEY")
    if bool(key_id) != bool(key):
        raise SettingWrong(
            "NURSERY_PHOTOS_KEY_ID", key_id, "Give it together with NURSERY_PHOTOS_KEY."
        )
    return {
        "BACKEND": "nursery.services.photo_bucket.PhotoBucket",
        "OPTIONS": {
            "bucket_name": bucket,
            "endpoint_url": env.text("NURSERY_PHOTOS_ENDPOINT") or None,
            "region_name": env.text("NURSERY_PHOTOS_REGION") or None,
            "location": env.text("NURSERY_PHOTOS_PREFIX"),
            "access_key": key_id or None,
            "secret_key": key or None,
        },
    }


def _refuse_without_bucket(env: Env) -> None:
    for name in BESIDE:
        key = f"NURSERY_PHOTOS_{name}"
        if env.text(key):
            # A secret is not to be shown.
            shown = "…" if name == "KEY" else env.text(key)
            raise SettingWrong(key, shown, f"Name the bucket with {BUCKET}, or leave this out.")
