"""A nursery of one's own, begun on an empty server: its grower, one worker, a house and a bench."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from nursery.ops.demo.frame import _person
from nursery.services import demo
from tests.journeys.offices import Desk
from tests.product import answer, plain_environment, running, wait_until
from tests.servers import free_port

ZONE = "America/Lima"
ANA = demo.Somebody(
    "p-ana", "Ana Huenul", "grower", "en", "blue", "circle", "2714",
    "ana@quillay.example", "three tall kettles",
)  # fmt: skip
SAMI = demo.Somebody("p-sami", "Sami Quispe", "worker", "es", "green", "square", "3928")
HOUSE = {"name": "Shade 1", "kind": "house", "floor_m2": 40, "bench_m2": 20}


@contextmanager
def own_nursery(folder: Path, *, conditions: bool) -> Iterator[Desk]:
    """Give its grower at the desk."""
    port = free_port()
    environment = {**plain_environment(), "NURSERY_DATA": str(folder / "data")}
    with running(environment, folder / "up.log", "up", "--port", str(port)) as up:
        url = f"http://localhost:{port}"
        wait_until(lambda: answer(f"{url}/healthz")[0] == 200, why=up.said())
        wait_until(lambda: "No nursery is here yet" in up.said(), why=up.said())
        start = {
            "name": "Quillay Hollow", "zone": ZONE, "language": "en",
            "conditions": conditions,
            "grower": ANA.name, "email": ANA.email, "password": ANA.password,
        }  # fmt: skip
        Desk(url, replace(ANA, email="")).ask("POST", "begin", start)
        yield _furnished(Desk(url, ANA))


def _furnished(desk: Desk) -> Desk:
    person = desk.get("session")["person"]
    body = {**desk.get(f"rows/person/{person}")["body"], **_person(ANA)}
    for kind, ident, row in (
        ("person", person, body),
        ("person", SAMI.id, _person(SAMI)),
        ("place", "shade-1", HOUSE),
        ("place", "bench-1", {"name": "Bench 1", "kind": "bench", "parent": "shade-1"}),
    ):
        desk.ask("PUT", f"rows/{kind}/{ident}", {"body": row})
    return desk
