"""Conditions and what follows from them: templates for a form, and "what if?"."""

from typing import Any

from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, READERS, View
from nursery.services import clock, templates, what_if

MOST_SUPPOSED = 20


class Suppose(serializers.Serializer[Any]):
    """Each says `what`: consignment, inspection, treatment or notice, and its fields."""

    suppose = serializers.ListField(
        child=serializers.DictField(), min_length=1, max_length=MOST_SUPPOSED
    )


class Followed(serializers.Serializer[Any]):
    """The worst of all reasons is the answer; `batches` are those whose release would change."""

    as_of_seq = serializers.IntegerField()
    on = serializers.DateField()
    answer = serializers.ChoiceField(["yes", "wait", "cannot_tell", "no"])
    reasons = serializers.ListField(child=serializers.DictField())
    batches = serializers.ListField(child=serializers.DictField())


class Filling(serializers.Serializer[Any]):
    """Templates in `items`; in `rules` every rule with its fields, for a form of one's own."""

    items = serializers.ListField(child=serializers.DictField())
    rules = serializers.ListField(child=serializers.DictField())


class StartingPoints(serializers.Serializer[Any]):
    """Crops to start from; a figure without `source` is from memory."""

    items = serializers.ListField(child=serializers.DictField())


class CropProfiles(View):
    """What is commonly known of thirteen crops. A copy in a row of one's own never changes."""

    open_to = {"GET": READERS}

    @extend_schema(
        operation_id="list_crop_profiles", responses=shapes.answers(StartingPoints, 401, 403)
    )
    def get(self, request: Request) -> Response:
        return Response({"items": templates.crop_profiles()})


class WhatIf(View):
    """Ask what would follow, were something so. Nothing is written."""

    open_to = {"POST": GROWERS}

    @extend_schema(request=Suppose, responses=shapes.answers(Followed, 400, 401, 403, 422))
    def post(self, request: Request) -> Response:
        asked = shapes.checked(Suppose, request)
        return Response(what_if.ask(self.caller.nursery, asked["suppose"], clock.now()))


class Templates(View):
    """Kinds of conditions to fill a form from, each figure with its source. None is a rule."""

    open_to = {"GET": READERS}

    @extend_schema(responses=shapes.answers(Filling, 401, 403))
    def get(self, request: Request) -> Response:
        return Response(templates.every())
