"""What the server's files say must be what the code knows. No container engine has run them."""

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from django.core.management import get_commands, load_command_class

from config import databases, processes
from config.env import KNOWN, Env
from tests.steps import ROOT

COMPOSE: dict[str, Any] = yaml.safe_load((ROOT / "docker-compose.yml").read_text())
SERVICES: dict[str, dict[str, Any]] = COMPOSE["services"]
OURS = {name: service for name, service in SERVICES.items() if service["image"] == "lathhouse"}
DOCKERFILE = (ROOT / "config" / "Dockerfile").read_text()
LINES = re.sub(r"\\\n", " ", DOCKERFILE).splitlines()


def commands() -> list[list[str]]:
    """Every `nursery` command line of the two files."""
    found = [[str(word) for word in service["command"]] for service in OURS.values()]
    checks = [
        service["healthcheck"]["test"] for service in OURS.values() if "healthcheck" in service
    ]
    found += [check[1:] for check in checks]
    found += [yaml.safe_load(line[4:]) for line in LINES if line.startswith("CMD [")]
    return found


def test_there_are_the_services_that_one_server_needs() -> None:
    assert set(SERVICES) == {"postgres", "redis", "migrate", "web", "worker", "beat"}


@pytest.mark.parametrize("command", commands(), ids=" ".join)
def test_every_command_and_its_options_are_known(command: list[str]) -> None:
    program, word, *rest = command
    assert program == "nursery"
    if word in processes.DESCRIPTIONS:
        processes.parser(word).parse_args(rest)
    else:
        known = load_command_class(get_commands()[word], word)
        known.create_parser("nursery", word).parse_args(rest)


@pytest.mark.parametrize("name", OURS)
def test_every_variable_is_one_that_the_code_reads(name: str) -> None:
    assert set(OURS[name]["environment"]) <= set(KNOWN)


def test_variables_of_the_image_are_ones_that_the_code_reads() -> None:
    names = {
        name for line in LINES if line.startswith("ENV ") for name in re.findall(r"(\w+)=", line)
    }
    assert names - {"PYTHONUNBUFFERED"} <= set(KNOWN)


def test_the_addresses_name_the_services_beside_them() -> None:
    settings = {
        key: re.sub(r"\$\{\w+:\?\}", "secret", value)
        for key, value in OURS["web"]["environment"].items()
    }
    database = databases.database(Env(settings), Path("/data"))
    server = SERVICES[database["HOST"]]["environment"]
    assert database["NAME"] == server["POSTGRES_DB"]
    assert database["USER"] not in (server["POSTGRES_USER"], "")
    upgrading = OURS["migrate"]["environment"]
    told = {key: re.sub(r"\$\{\w+:\?\}", "secret", value) for key, value in upgrading.items()}
    owner = databases.owner(Env(told))
    assert owner is not None
    assert (owner["USER"], owner["HOST"]) == (server["POSTGRES_USER"], database["HOST"])
    assert upgrading["NURSERY_OWNER_DATABASE_URL"].count(server["POSTGRES_PASSWORD"]) == 1
    address = Env(settings).address("NURSERY_BROKER_URL", databases.REDIS, "")
    assert address is not None
    assert address.hostname in SERVICES
    assert databases.queue(Env(settings))["broker_url"] == settings["NURSERY_BROKER_URL"]


def test_the_owner_of_the_tables_is_known_to_those_alone_who_change_or_copy_them() -> None:
    """Who answers the world neither knows the owner's password nor has the same one."""
    owners = {name for name in OURS if "NURSERY_OWNER_DATABASE_URL" in OURS[name]["environment"]}
    assert owners == {"migrate", "worker"}
    owner = SERVICES["postgres"]["environment"]["POSTGRES_PASSWORD"]
    for name in OURS:
        assert owner not in OURS[name]["environment"]["NURSERY_DATABASE_URL"]


def test_what_is_waited_for_exists_and_can_be_waited_for() -> None:
    for service in SERVICES.values():
        for name, wish in service.get("depends_on", {}).items():
            if wish["condition"] == "service_healthy":
                assert "healthcheck" in SERVICES[name]
            else:
                assert wish["condition"] == "service_completed_successfully"
                assert SERVICES[name]["restart"] == "on-failure"


def test_the_health_check_asks_the_port_that_the_server_answers_on() -> None:
    web = OURS["web"]
    port = web["command"][web["command"].index("--port") + 1]
    assert web["healthcheck"]["test"][-1] == f"http://127.0.0.1:{port}/readyz"
    assert [mapping.rsplit(":", 1)[1] for mapping in web["ports"]] == [port]


def test_volumes_and_build_files_exist() -> None:
    used = {
        mount.split(":")[0] for service in SERVICES.values() for mount in service.get("volumes", ())
    }
    assert used == set(COMPOSE["volumes"])
    build = OURS["web"]["build"]
    assert (ROOT / build["context"] / build["dockerfile"]).is_file()


def test_what_the_image_copies_exists() -> None:
    sources = [
        word
        for line in LINES
        if line.startswith("COPY ") and "--from" not in line
        for word in line.split()[1:-1]
    ]
    assert sources
    assert all((ROOT / source).exists() for source in sources)
