"""Photos from phones, slice by slice: tus 1.0 with creation, checksum and expiration.

An upload is called by the SHA-256 of its photo. Where it is begun a second time, the answer says in
`Upload-Offset` how far it has come, which spares a phone one question.
"""

import base64
import binascii
import hashlib
import hmac
import re
from typing import Any

from django.http import HttpRequest
from django.utils.http import http_date
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import exceptions
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import ANYBODY, GROWERS, PHONES, ByDevice, BySession, View, Ways
from nursery.api.problems import Shut
from nursery.services import clock, kept_photos, limits, uploads
from nursery.services.errors import ChecksumDiffers, PhotoTooLarge
from nursery.services.uploads import Standing

VERSION = "1.0.0"
SLICE = "application/offset+octet-stream"
SUMS = ("sha256", "sha1")
MOST_TOLD = 2000
NUMBER = re.compile(r"[0-9]{1,15}", re.ASCII)


def header(name: str, told: str, *, required: bool = True) -> OpenApiParameter:
    return OpenApiParameter(name, str, OpenApiParameter.HEADER, required=required, description=told)


SPEAKS = OpenApiParameter(
    "Tus-Resumable", str, OpenApiParameter.HEADER, required=True, enum=[VERSION]
)


class VersionUnknown(Shut):
    """Another version of tus, or none."""

    status_code = 412

    def __init__(self) -> None:
        super().__init__("tus_version", version=VERSION)


class UploadView(View):
    """What every answer about an upload says, and what every call must. Links only read."""

    authentication_classes: Ways = [BySession, ByDevice]

    def initial(self, request: Request, *args: Any, **kwargs: Any) -> None:
        super().initial(request, *args, **kwargs)
        if request.method != "OPTIONS" and request.headers.get("Tus-Resumable") != VERSION:
            raise VersionUnknown

    def finalize_response(
        self, request: Request, response: Response, *args: Any, **kwargs: Any
    ) -> Response:
        done: Response = super().finalize_response(request, response, *args, **kwargs)
        done["Tus-Resumable"] = VERSION
        done["Cache-Control"] = "no-store"
        if done.status_code == VersionUnknown.status_code:
            done["Tus-Version"] = VERSION
        return done

    def options(self, request: HttpRequest, *args: Any, **kwargs: Any) -> Response:
        """Say which version is spoken, and what of it."""
        can = {
            "Tus-Version": VERSION,
            "Tus-Extension": "creation,checksum,expiration",
            "Tus-Checksum-Algorithm": ",".join(SUMS),
            "Tus-Max-Size": str(uploads.MOST),
        }
        return Response(status=204, headers=can)


class Uploads(UploadView):
    """Photos begin their way here."""

    open_to = {"POST": GROWERS | PHONES, "OPTIONS": ANYBODY}

    @extend_schema(
        parameters=[
            SPEAKS,
            header("Upload-Length", "bytes of the whole photo"),
            header("Upload-Metadata", "`photo` and `sha256`, each with its value in base64"),
        ],
        request=None,
        responses={
            200: OpenApiTypes.NONE,
            201: OpenApiTypes.NONE,
            **shapes.answers(None, 400, 401, 403, 412, 413, 429, 507),
        },
    )
    def post(self, request: Request) -> Response:
        """Begin a photo, or hear how far it has come."""
        limits.take(limits.UPLOAD, self.caller.ident, clock.now())
        length = _number(request, "Upload-Length")
        if length == 0:
            raise shapes.BodyMisfit("Upload-Length")
        told = request.headers.get("Upload-Metadata", "")
        digest = _named(told)
        found = uploads.begin(self.caller.nursery, digest, length, told, clock.now())
        place = {"Location": f"/api/v1/uploads/{digest}"}
        return Response(status=200 if found.offset else 201, headers={**_where(found), **place})


class Upload(UploadView):
    """One photo on its way."""

    open_to = {"HEAD": GROWERS | PHONES, "PATCH": GROWERS | PHONES, "OPTIONS": ANYBODY}

    def head(self, request: Request, digest: str) -> Response:
        """Say how far it has come."""
        found = uploads.at(self.caller.nursery, digest, clock.now())
        told = found.told or f"sha256 {base64.b64encode(digest.encode()).decode()}"
        return Response(status=200, headers={**_where(found), "Upload-Metadata": told})

    @extend_schema(
        parameters=[
            SPEAKS,
            header("Upload-Offset", "where this slice begins"),
            header("Upload-Checksum", "`sha256` and the slice's sum in base64", required=False),
        ],
        request={SLICE: OpenApiTypes.BINARY},
        responses={
            204: OpenApiTypes.NONE,
            **shapes.answers(None, 400, 401, 403, 404, 409, 412, 413, 415, 422, 429, 460),
        },
    )
    def patch(self, request: Request, digest: str) -> Response:
        """Take the next slice in."""
        limits.take(limits.UPLOAD, self.caller.ident, clock.now())
        if request.content_type != SLICE:
            raise exceptions.UnsupportedMediaType(request.content_type)
        offset = _number(request, "Upload-Offset")
        if int(request.META.get("CONTENT_LENGTH") or 0) > uploads.MOST:
            raise PhotoTooLarge(most=uploads.MOST)
        piece = request.body
        _hold_to(request.headers.get("Upload-Checksum"), piece)
        found = uploads.append(self.caller.nursery, digest, offset, piece, clock.now())
        return Response(status=204, headers=_where(found))


def _where(found: Standing) -> dict[str, str]:
    where = {"Upload-Offset": str(found.offset), "Upload-Length": str(found.length)}
    if found.ends_at is not None:
        where["Upload-Expires"] = http_date(found.ends_at.timestamp())
    return where


def _number(request: Request, name: str) -> int:
    text = request.headers.get(name, "")
    if not NUMBER.fullmatch(text):
        raise shapes.BodyMisfit(name)
    return int(text)


def _named(told: str) -> str:
    """Return the hash by which a photo is to be called."""
    pairs = dict(pair.strip().partition(" ")[::2] for pair in told.split(","))
    try:
        digest = base64.b64decode(pairs.get("sha256", ""), validate=True).decode("ascii")
    except (binascii.Error, ValueError):
        digest = ""
    if len(told) > MOST_TOLD or not kept_photos.DIGEST.fullmatch(digest):
        raise shapes.BodyMisfit("Upload-Metadata")
    return digest


def _hold_to(told: str | None, piece: bytes) -> None:
    """Hold a slice to its sum, where one came along."""
    if told is None:
        return
    name, _, value = told.partition(" ")
    try:
        wanted = base64.b64decode(value, validate=True)
    except (binascii.Error, ValueError):
        wanted = b""
    if name not in SUMS or not wanted:
        raise shapes.BodyMisfit("Upload-Checksum")
    if not hmac.compare_digest(hashlib.new(name, piece, usedforsecurity=False).digest(), wanted):
        raise ChecksumDiffers(value=value[:88])
