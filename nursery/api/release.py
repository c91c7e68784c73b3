"""Views of one consignment's release file: its facts, on paper, and as one signed file."""

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework.renderers import BaseRenderer
from rest_framework.request import Request
from rest_framework.response import Response

from nursery.api import shapes
from nursery.api.door import GROWERS, INSPECTORS, READERS, View
from nursery.api.paper import MEDIA, Pdf, Plain
from nursery.paper import release_file
from nursery.services import clock, release

PAGE = "text/html"
LANGUAGE = OpenApiParameter("language", str, description="of the paper; else the nursery's first")


class Html(Plain):
    media_type = PAGE
    format = "html"


class Facts(View):
    """Everything that an inspector asks of one consignment, as of a line of the feed.

    It holds the consignment with its permits, the account (`ledger` by batch, or by batches that
    balance only together), the clocks with their reasons, the weeks of looking with their minutes,
    and each kind of record in a list of its own, corrections with every version. `names` says what
    people call what is named by an id.
    """

    open_to = {"GET": READERS}

    @extend_schema(operation_id="read_release_file", responses=shapes.answers(dict, 401, 403, 404))
    def get(self, request: Request, ident: str) -> Response:
        del request
        return Response(release.facts(self.caller.nursery, ident, clock.now()))


class OnPaper(View):
    """The release file as a PDF: one page, an annex, places for signature and stamp."""

    open_to = {"GET": GROWERS | INSPECTORS}
    takes = True
    renderer_classes: list[type[BaseRenderer]] = [Plain, Pdf]

    @extend_schema(
        operation_id="print_release_file",
        parameters=[LANGUAGE],
        responses={(200, MEDIA): OpenApiTypes.BINARY, **shapes.answers(None, 401, 403, 404, 409)},
    )
    def get(self, request: Request, ident: str) -> Response:
        made = release_file.make(self.caller.nursery, ident, clock.now())
        paper = release_file.pdf(made, request.query_params.get("language"))
        return _handed(paper, MEDIA, f'inline; filename="{release_file.name_of(made)}.pdf"')


class Signed(View):
    """The release file as one signed page that proves itself without network."""

    open_to = {"GET": GROWERS | INSPECTORS}
    takes = True
    renderer_classes: list[type[BaseRenderer]] = [Plain, Html]

    @extend_schema(
        operation_id="sign_release_file",
        responses={(200, PAGE): OpenApiTypes.BINARY, **shapes.answers(None, 401, 403, 404, 409)},
    )
    def get(self, request: Request, ident: str) -> Response:
        del request
        made = release_file.make(self.caller.nursery, ident, clock.now())
        # It is to be kept and opened from a file: here it would be a page of this origin.
        named = f'attachment; filename="{release_file.name_of(made)}.html"'
        return _handed(made.bundle.content, PAGE, named)


def _handed(content: bytes, media: str, disposition: str) -> Response:
    kept = {"Content-Disposition": disposition, "Cache-Control": "no-store"}
    return Response(content, content_type=media, headers=kept)
