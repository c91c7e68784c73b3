"""What requests and answers look like, for the OpenAPI description and for checking small bodies.

Pushes are read by `wire`; only the small bodies of people's requests are checked here.
"""

from typing import Any

from rest_framework import serializers
from rest_framework.request import Request

from nursery.api.problems import MEDIA, Shut


class Problem(serializers.Serializer[Any]):
    """RFC 9457."""

    type = serializers.CharField()
    status = serializers.IntegerField()
    code = serializers.CharField()
    params = serializers.DictField()
    detail = serializers.CharField()


class Enrol(serializers.Serializer[Any]):
    code = serializers.CharField(max_length=64)
    install = serializers.RegexField(r"^[^\s\x00-\x1f\x7f]{1,64}$")


class NurseryShape(serializers.Serializer[Any]):
    id = serializers.CharField()
    name = serializers.CharField()
    zone = serializers.CharField()


class Enrolled(serializers.Serializer[Any]):
    device = serializers.CharField()
    nursery = NurseryShape()
    epoch = serializers.CharField()


class OutboxShape(serializers.Serializer[Any]):
    unsent = serializers.IntegerField(required=False)
    n_max = serializers.IntegerField(required=False)
    oldest = serializers.DateTimeField(required=False, allow_null=True)
    photos = serializers.IntegerField(required=False)
    photo_bytes = serializers.IntegerField(required=False)


class Push(serializers.Serializer[Any]):
    epoch = serializers.CharField()
    install = serializers.CharField()
    entries = serializers.ListField(child=serializers.CharField())
    phone_time = serializers.DateTimeField(required=False, allow_null=True)
    app = serializers.CharField(required=False)
    persisted = serializers.BooleanField(required=False, allow_null=True)
    outbox = OutboxShape(required=False)
    wrong_pins = serializers.DictField(child=serializers.IntegerField(), required=False)


class OutcomeShape(serializers.Serializer[Any]):
    id = serializers.CharField(allow_blank=True)
    status = serializers.ChoiceField(["stored", "known", "set_aside", "kept_raw"])
    seq = serializers.IntegerField(required=False)
    code = serializers.CharField(required=False)
    ref = serializers.CharField(required=False)
    skew_ms = serializers.IntegerField(required=False)


class HeadShape(serializers.Serializer[Any]):
    seq = serializers.IntegerField()
    hash = serializers.CharField()


class AppShape(serializers.Serializer[Any]):
    min_pull = serializers.CharField()
    current = serializers.CharField()


class Receipt(serializers.Serializer[Any]):
    epoch = serializers.CharField()
    server_time = serializers.DateTimeField()
    durable_seq = serializers.IntegerField()
    results = OutcomeShape(many=True)
    holes = serializers.ListField(child=serializers.ListField(child=serializers.IntegerField()))
    head = HeadShape()
    app = AppShape()


class Line(serializers.Serializer[Any]):
    """One line of a pull; which fields it has follows from `t`."""

    t = serializers.ChoiceField(["begin", "entry", "ref", "gone", "mark", "end"])


class Ids(serializers.Serializer[Any]):
    ids = serializers.ListField(child=serializers.CharField(max_length=64), max_length=10_000)


class Lacking(serializers.Serializer[Any]):
    lack = serializers.ListField(child=serializers.CharField())


class Outlook(serializers.Serializer[Any]):
    as_of_seq = serializers.IntegerField()
    made_at = serializers.DateTimeField()
    batches = serializers.DictField()
    incidents = serializers.ListField(child=serializers.DictField())
    checks = serializers.ListField(child=serializers.DictField())
    notices = serializers.ListField(child=serializers.DictField())


class Ping(serializers.Serializer[Any]):
    epoch = serializers.CharField(allow_null=True)
    server_time = serializers.DateTimeField()
    shifted = serializers.BooleanField()
    app = AppShape()


class SignIn(serializers.Serializer[Any]):
    email = serializers.CharField(max_length=254)
    password = serializers.CharField(max_length=200, trim_whitespace=False)


class Who(serializers.Serializer[Any]):
    name = serializers.CharField()
    role = serializers.CharField()
    person = serializers.CharField(allow_blank=True)
    nursery = NurseryShape()


class ItemPage(serializers.Serializer[Any]):
    items = serializers.ListField(child=serializers.DictField())
    next = serializers.CharField(allow_null=True)


class Items(serializers.Serializer[Any]):
    items = serializers.ListField(child=serializers.DictField())


class RowShape(serializers.Serializer[Any]):
    type = serializers.CharField(read_only=True)
    id = serializers.CharField(read_only=True)
    rev = serializers.IntegerField(required=False, allow_null=True, min_value=0)
    body = serializers.DictField()


def answers(shape: Any, *problems: int, status: int = 200) -> dict[Any, Any]:
    """Return the documented answers of a view: its shape, and a problem for each other status."""
    given: dict[Any, Any] = {status: shape} if shape is not None else {}
    return {**given, **{(number, MEDIA): Problem for number in problems}}


class BodyMisfit(Shut):
    """A small body lacks a field or says the impossible."""

    status_code = 400

    def __init__(self, field: str) -> None:
        super().__init__("body_misfit", field=field)


def checked(shape: type[serializers.Serializer[Any]], request: Request) -> dict[str, Any]:
    """Return the request's body as `shape` reads it.

    Raises:
        BodyMisfit: a field lacks or is not what it should be.
    """
    read = shape(data=request.data)
    if not read.is_valid():
        raise BodyMisfit(next(iter(read.errors), "body"))
    return dict(read.validated_data)


def whole(request: Request, field: str, bounds: range, default: int) -> int:
    """Return the whole number that a query gives for `field`.

    Raises:
        BodyMisfit: it is no number, or not within `bounds`.
    """
    text = request.query_params.get(field)
    if text is None:
        return default
    if not text.isascii() or not text.isdigit() or int(text[:12]) not in bounds:
        raise BodyMisfit(field)
    return int(text)
