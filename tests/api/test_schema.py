"""The whole OpenAPI description under generated requests: no server error, documented answers."""

from typing import Any

import hypothesis
import pytest
import requests
import schemathesis
from django.test import Client
from drf_spectacular.generators import SchemaGenerator
from hypothesis import HealthCheck, given
from schemathesis.checks import not_a_server_error
from schemathesis.core.transport import Response
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from tests.api.conftest import Cast

CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
HERE = "http://testserver"
# A slice of a photo is bytes like any others.
schemathesis.serializer.alias("application/offset+octet-stream", "application/octet-stream")
DESCRIPTION: dict[str, Any] = SchemaGenerator().get_schema(  # type: ignore[no-untyped-call]  # untyped there
    request=None, public=True
)
SCHEMA = schemathesis.openapi.from_dict(DESCRIPTION)
OPERATIONS = [(path, method) for path, some in DESCRIPTION["paths"].items() for method in some]


def send(client: Client, case: Any) -> Response:
    """Send a generated request through `client`, and return the answer as the checks want it."""
    asked = requests.Request(**case.as_transport_kwargs(base_url=HERE)).prepare()
    headers = {name: str(value) for name, value in asked.headers.items()}
    content = headers.pop("Content-Type", "application/json")
    given = client.generic(
        asked.method or "GET",
        asked.path_url,
        asked.body or b"",
        content_type=content,
        headers={"X-Sync": "1", **headers},
    )
    return Response(
        status_code=given.status_code,
        headers={name: [value] for name, value in given.items()},
        content=b"".join(given) if given.streaming else given.content,
        request=asked,
        elapsed=0.0,
        verify=False,
    )


@pytest.mark.parametrize("caller", ["grower", "phone", "nobody"])
@pytest.mark.parametrize(("path", "method"), OPERATIONS, ids=str)
@pytest.mark.usefixtures("tray")
def test_any_request_gets_a_documented_answer(
    cast: Cast, caller: str, path: str, method: str
) -> None:
    client = getattr(cast, caller)
    client.raise_request_exception = False

    @hypothesis.settings(
        max_examples=max(10, hypothesis.settings().max_examples // 10),
        suppress_health_check=list(HealthCheck),
    )
    @given(case=SCHEMA[path][method].as_strategy())
    def any_request(case: Any) -> None:
        case.validate_response(send(client, case), checks=CHECKS)

    any_request()


def test_each_operation_says_what_it_does() -> None:
    assert ("/api/v1/sync/push", "post") in OPERATIONS
    for path, method in OPERATIONS:
        told = DESCRIPTION["paths"][path][method].get("description")
        assert told, f"{method} {path} says nothing of itself"
