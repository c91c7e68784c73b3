"""The safety of the book: whether a tested backup is there, where backups go, make one now."""

from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import office_shapes, shapes
from nursery.api.door import GROWERS, View
from nursery.services import backup_place, backup_report, clock


class Backup(View):
    """Whether there is a tested backup and what it would not bring back; make one now."""

    open_to = {"GET": GROWERS, "POST": GROWERS}

    @extend_schema(responses=shapes.answers(office_shapes.Backup, 401, 403))
    def get(self, request: Request) -> Response:
        return Response(backup_report.report(self.caller.nursery))

    @extend_schema(
        request=None, responses=shapes.answers(office_shapes.Backup, 401, 403, 409, status=202)
    )
    def post(self, request: Request) -> Response:
        backup_report.ask(clock.now())
        return Response(backup_report.report(self.caller.nursery), status=202)


class Place(View):
    """Choose the folder that backups go to; an empty one is the folder beside the book."""

    open_to = {"PUT": GROWERS}

    @extend_schema(
        request=office_shapes.Folder,
        responses=shapes.answers(office_shapes.Backup, 400, 401, 403, 422),
    )
    def put(self, request: Request) -> Response:
        asked = shapes.checked(office_shapes.Folder, request)
        backup_place.choose(asked["folder"])
        return Response(backup_report.report(self.caller.nursery))
