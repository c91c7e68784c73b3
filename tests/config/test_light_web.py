"""The web process answers every route without the libraries of the computations."""

import json
import subprocess
import sys
from pathlib import Path

from tests.product import plain_environment
from tests.steps import ROOT

HEAVY = ("numpy", "scipy", "shapely", "pyproj")

# A process of its own: the test's has long loaded everything.
ASK = """
import json, sys
from django.core.management import call_command
from config.wsgi import application
from django.test import Client
from django.urls import get_resolver

call_command("migrate", verbosity=0)
client = Client(raise_request_exception=False)
statuses = {}

def visit(patterns, prefix):
    for pattern in patterns:
        route = prefix + str(pattern.pattern)
        if hasattr(pattern, "url_patterns"):
            visit(pattern.url_patterns, route)
        else:
            path = "/" + route.replace("<str:kind>", "places").replace("<str:ident>", "r-1")
            for method in ("GET", "POST", "PUT", "DELETE"):
                answer = client.generic(method, path, b"{}", content_type="application/json")
                statuses[f"{method} {path}"] = answer.status_code
                answer.close()

visit(get_resolver().url_patterns, "")
print(json.dumps({"statuses": statuses, "loaded": sorted(sys.modules)}))
"""


def test_no_route_loads_them(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", ASK],
        env=plain_environment() | {"NURSERY_DATA": str(tmp_path), "NURSERY_HOSTS": "testserver"},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    said = json.loads(done.stdout)
    assert "GET /healthz" in said["statuses"]
    assert sum(path.startswith("GET /api/v1/") for path in said["statuses"]) >= 10
    assert not set(HEAVY) & set(said["loaded"])
