"""Photos to look at: those of one batch, and one copy's bytes. No original is ever given out."""

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, PHONES, READERS, View
from nursery.api.paper import Plain
from nursery.api.sync import SyncView
from nursery.services import clock, darkroom, photo_story, photos
from nursery.services.errors import Unknown

MEDIA = "image/jpeg"
# A copy never changes, but who may see it does: kept for a day, by this browser alone.
KEPT = "private, max-age=86400"
# Should a browser ever take it for a page, that page may do nothing.
POLICY = "sandbox; default-src 'none'"


class Jpeg(Plain):
    media_type = MEDIA
    format = "jpg"


class PhotoSize(serializers.Serializer[Any]):
    longest = serializers.IntegerField()
    width = serializers.IntegerField()
    height = serializers.IntegerField()


class BatchPhoto(serializers.Serializer[Any]):
    record = serializers.CharField()
    photo = serializers.CharField()
    sha256 = serializers.CharField()
    occurred_at = serializers.DateTimeField()
    author = serializers.CharField()
    author_name = serializers.CharField(allow_null=True)
    shows = serializers.CharField(allow_null=True)
    state = serializers.ChoiceField([photos.HERE, photos.WAITING, photos.UNREADABLE])
    came_at = serializers.DateTimeField(allow_null=True)
    taken_at = serializers.DateTimeField(allow_null=True)
    sizes = PhotoSize(many=True)


class BatchPhotosShape(serializers.Serializer[Any]):
    items = BatchPhoto(many=True)


class Digests(serializers.Serializer[Any]):
    sha256 = serializers.ListField(
        child=serializers.RegexField(r"^[0-9a-f]{64}$"), max_length=photos.MOST_ASKED
    )


class SafePhotos(serializers.Serializer[Any]):
    safe = serializers.ListField(child=serializers.CharField())


class OfBatch(View):
    """The photos of one batch, oldest first."""

    open_to = {"GET": READERS}

    @extend_schema(
        operation_id="list_photos", responses=shapes.answers(BatchPhotosShape, 401, 403, 404)
    )
    def get(self, request: Request, ident: str) -> Response:
        del request
        return Response({"items": photo_story.of_batch(self.caller.nursery, ident)})


class Copy(View):
    """One copy of a photo, its longest side 320, 800 or 1600 dots."""

    open_to = {"GET": READERS}
    renderer_classes: list[type[BaseRenderer]] = [Plain, Jpeg]

    @extend_schema(
        operation_id="read_photo",
        responses={
            (200, MEDIA): OpenApiTypes.BINARY,
            304: None,
            **shapes.answers(None, 401, 403, 404, 503),
        },
    )
    def get(self, request: Request, digest: str, size: str) -> Response:
        longest = int(size) if size.isascii() and size.isdigit() and len(size) < 6 else 0
        if longest not in darkroom.LONGEST:
            raise Unknown("photo", f"{digest[:64]}/{size[:10]}")
        found = photo_story.copy_for(self.caller, digest, longest)
        tag = f'"{found.sha256}"'
        named = {
            "ETag": tag,
            "Cache-Control": KEPT,
            "Vary": "Cookie",
            "X-Content-Type-Options": "nosniff",
            "Content-Security-Policy": POLICY,
            "Cross-Origin-Resource-Policy": "same-origin",
            "Content-Disposition": f'inline; filename="{digest[:16]}-{longest}.jpg"',
        }
        if request.headers.get("If-None-Match") == tag:
            return Response(status=304, headers=named)
        return Response(found.content, content_type=MEDIA, headers=named)


class Looked(View):
    """Say that a photo which cannot be read was looked at. It stays sealed."""

    open_to = {"POST": GROWERS}

    @extend_schema(request=None, responses={204: None, **shapes.answers(None, 401, 403, 404)})
    def post(self, request: Request, digest: str) -> Response:
        del request
        photos.looked_at(self.caller.nursery, digest, clock.now())
        return Response(status=204)


class Safe(SyncView):
    """Say which of these photos lie in a tested backup, so that a phone may let them go."""

    open_to = {"POST": PHONES}

    @extend_schema(request=Digests, responses=shapes.answers(SafePhotos, 400, 401, 403))
    def post(self, request: Request) -> Response:
        asked = shapes.checked(Digests, request)
        return Response({"safe": photos.safe(self.caller.nursery, asked["sha256"])})
