"""The calls by which phones and the server keep one book."""

from typing import Any

from django.http import HttpResponse, StreamingHttpResponse
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.renderers import JSONRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import packed, shapes, wire
from nursery.api.door import (
    ANYBODY,
    COOKIE,
    COOKIE_AGE,
    GIVEN,
    GROWERS,
    PHONES,
    ByDevice,
    BySession,
    View,
    Ways,
    address,
    from_here,
)
from nursery.api.problems import Shut
from nursery.services import access, clock, limits, log, outlook, people, pull, versions
from nursery.services.access import Did
from nursery.services.installs import Outbox
from nursery.services.people import PHONE, Caller


class UpdateFirst(Shut):
    """This app is too old to read the feed; what it sends is taken all the same."""

    status_code = 426

    def __init__(self) -> None:
        super().__init__("update_first")


class SyncView(View):
    """Phones only: what a session may do on a shared phone is not theirs to send."""

    authentication_classes: Ways = [ByDevice]

    def finalize_response(
        self, request: Request, response: Response, *args: Any, **kwargs: Any
    ) -> Response:
        """Give a phone that was let in its secret for 400 days more, as long as browsers keep."""
        done: Response = super().finalize_response(request, response, *args, **kwargs)
        if done.status_code in GIVEN and isinstance(request.auth, Caller):
            keep_device(done, request.COOKIES[COOKIE])
        return done


def keep_device(answer: Response, secret: str) -> None:
    """Have the browser keep the secret of its phone where no script can read it."""
    answer.set_cookie(
        COOKIE, secret, max_age=COOKIE_AGE, secure=True, httponly=True, samesite="Strict", path="/"
    )


class Enrol(View):
    """A phone joins by its one-time code."""

    authentication_classes: Ways = []
    open_to = {"POST": ANYBODY}

    @extend_schema(request=shapes.Enrol, responses=shapes.answers(shapes.Enrolled, 400, 403, 429))
    def post(self, request: Request) -> Response:
        from_here(request)
        asked = shapes.checked(shapes.Enrol, request)
        now = clock.now()
        joined = people.enrol(asked["code"], asked["install"], now, address(request))
        caller = Caller(joined.nursery, PHONE, joined.device)
        access.note(caller, Did.PHONE_JOINED, joined.device, now)
        answer = Response(
            {
                "device": joined.device,
                "nursery": {"id": joined.nursery, "name": joined.name, "zone": joined.zone},
                "epoch": joined.epoch,
            },
            status=201,
        )
        keep_device(answer, joined.secret)
        return answer


class Push(SyncView):
    """Take in what was written offline. One bad entry never holds back the others."""

    open_to = {"POST": PHONES}

    @extend_schema(
        request=shapes.Push, responses=shapes.answers(shapes.Receipt, 400, 401, 403, 409, 413, 429)
    )
    def post(self, request: Request) -> Response:
        now = clock.now()
        nursery, device = self.caller.nursery, self.caller.ident
        with limits.counted(limits.PUSH, device, now) as count:
            push = wire.read_push(request.body, request.headers.get("Content-Encoding", ""))
            outbox = wire.outbox(push, device, now)
            receipt = log.receive(nursery, outbox, push.entries, now, count)
        return Response(wire.receipt(receipt, now, versions.as_json()))


class Pull(SyncView):
    """Give the feed after a cursor, or a snapshot where there is none, as lines of JSON."""

    open_to = {"GET": PHONES}

    @extend_schema(
        parameters=[
            OpenApiParameter("after", str, description="EPOCH:SEQ; empty for a snapshot"),
            OpenApiParameter("limit", int, description="lines at most, up to 10 000"),
        ],
        responses={
            (200, "application/x-ndjson"): shapes.Line,
            **shapes.answers(None, 400, 401, 403, 409, 426),
        },
    )
    def get(self, request: Request) -> StreamingHttpResponse:
        if not versions.may_pull(request.headers.get("X-App", "")):
            raise UpdateFirst
        now, nursery = clock.now(), self.caller.nursery
        at = pull.cursor(request.query_params.get("after", ""))
        if at is None:
            return packed.stream(request, pull.snapshot(nursery, now))
        limit = shapes.whole(request, "limit", range(1, pull.MOST + 1), pull.PAGE)
        return packed.stream(request, pull.after(nursery, at, limit, now))


class Check(SyncView):
    """Say which of these ids the book does not have."""

    open_to = {"POST": PHONES}

    @extend_schema(request=shapes.Ids, responses=shapes.answers(shapes.Lacking, 400, 401, 403))
    def post(self, request: Request) -> Response:
        asked = shapes.checked(shapes.Ids, request)
        return Response({"lack": pull.lacking(self.caller.nursery, asked["ids"])})


class Outlook(SyncView):
    """Forecasts, due checks, gates, exposed sets and doubts, as of one line of the feed."""

    open_to = {"GET": PHONES}

    @extend_schema(responses={**shapes.answers(shapes.Outlook, 401, 403), 304: None})
    def get(self, request: Request) -> Response | HttpResponse:
        made = outlook.latest(self.caller.nursery, clock.now())
        # Packed or not it is the same outlook in other bytes, which is what a weak tag says.
        tag = f'W/"{made.etag}"'
        if request.headers.get("If-None-Match", "").removeprefix("W/") == f'"{made.etag}"':
            return Response(status=304, headers={"ETag": tag})
        key = f"{self.caller.nursery} {made.etag} {made.as_of_seq} {made.made_at.isoformat()}"
        answer = packed.once(request, key, lambda: JSONRenderer().render(made.as_json()))
        answer["ETag"], answer["Cache-Control"] = tag, "no-cache"
        return answer


class Ping(View):
    """Say that this is the server, what time it is, and which book it keeps."""

    authentication_classes: Ways = []
    open_to = {"GET": ANYBODY}

    @extend_schema(responses=shapes.answers(shapes.Ping))
    def get(self, request: Request) -> Response:
        secret = request.COOKIES.get(COOKIE)
        caller = people.device(secret) if secret else None
        body: dict[str, Any] = {
            "epoch": pull.epoch(caller.nursery) if caller is not None else None,
            "server_time": clock.now(),
            "shifted": clock.is_shifted(),
            "app": versions.as_json(),
        }
        return Response(body, headers={"Cache-Control": "no-store"})


class Rescue(View):
    """The grower hands in the exported outbox of a dead or revoked phone."""

    authentication_classes: Ways = [BySession]
    open_to = {"POST": GROWERS}

    @extend_schema(
        request=shapes.Push, responses=shapes.answers(shapes.Receipt, 400, 401, 403, 413)
    )
    def post(self, request: Request) -> Response:
        now = clock.now()
        push = wire.read_push(request.body, "", most=100_000)
        outbox = Outbox(install=push.install, device="rescue", app=push.app[:40])
        receipt = log.receive_all(self.caller.nursery, outbox, push.entries, now)
        return Response(wire.receipt(receipt, now, versions.as_json()))
