"""Views of plants that go to a neighbour: the file and the slip, and taking a file on."""

from typing import Any

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, READERS, View
from nursery.api.paper import MEDIA, Pdf, Plain
from nursery.paper import handover as slip
from nursery.services import clock, handover


class FileShape(serializers.Serializer[Any]):
    """A signed file; `facts` are signed with their keys in order and nothing between."""

    format = serializers.CharField(max_length=40)
    key = serializers.CharField(max_length=64)
    fingerprint = serializers.CharField(max_length=40, required=False)
    signature = serializers.CharField(max_length=128)
    facts = serializers.DictField()


class Taking(serializers.Serializer[Any]):
    file = serializers.DictField()
    place = serializers.CharField(max_length=64, required=False, allow_null=True)


class PlantsTakenShape(serializers.Serializer[Any]):
    nursery = serializers.CharField()
    fingerprint = serializers.CharField()
    consignment = serializers.CharField()
    batches = serializers.ListField(child=serializers.CharField())


class File(View):
    """The file of one record of sending, for the nursery that got the plants."""

    open_to = {"GET": READERS}
    takes = True

    @extend_schema(
        operation_id="read_handover", responses=shapes.answers(FileShape, 401, 403, 404, 409)
    )
    def get(self, request: Request, record: str) -> Response:
        del request
        kept = {"Content-Disposition": 'attachment; filename="plants.json"'}
        return Response(handover.file_of(self.caller.nursery, record), headers=kept)


class Slip(View):
    """The slip of one record of sending, as a PDF."""

    open_to = {"GET": READERS}
    takes = True
    renderer_classes: list[type[BaseRenderer]] = [Plain, Pdf]

    @extend_schema(
        operation_id="print_handover",
        parameters=[OpenApiParameter("language", str)],
        responses={(200, MEDIA): OpenApiTypes.BINARY, **shapes.answers(None, 401, 403, 404, 409)},
    )
    def get(self, request: Request, record: str) -> Response:
        file = handover.file_of(self.caller.nursery, record)
        made = slip.pdf(file, request.query_params.get("language"))
        kept = {"Content-Disposition": 'inline; filename="slip.pdf"', "Cache-Control": "no-store"}
        return Response(made, content_type=MEDIA, headers=kept)


class Take(View):
    """Plants that came with a file become batches here, with their origin and their holds."""

    open_to = {"POST": GROWERS}

    @extend_schema(
        operation_id="take_handover",
        request=Taking,
        responses=shapes.answers(PlantsTakenShape, 400, 401, 403, 409, 422, status=201),
    )
    def post(self, request: Request) -> Response:
        asked = shapes.checked(Taking, request)
        nursery, person = self.caller.nursery, self.caller.person
        taken = handover.take_on(nursery, person, asked["file"], asked.get("place"), clock.now())
        return Response(taken.as_json(), status=201)
