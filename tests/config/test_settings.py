"""The settings as processes see them: in server shape, at home, and where they cannot be."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.product import plain_environment
from tests.steps import ROOT

SERVER = {
    "NURSERY_PRODUCTION": "yes",
    "NURSERY_PROXY": "yes",
    "NURSERY_HOSTS": "nursery.example",
}


def ask(what: str, folder: Path, **variables: str) -> str:
    code = f"from config import settings\nprint({what})"
    done = command("-c", code, NURSERY_DATA=str(folder), **variables)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def command(*words: str, **variables: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, *words],
        env=plain_environment() | variables,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_server_passes_djangos_own_examination(tmp_path: Path) -> None:
    words = ("-m", "config", "check", "--deploy", "--fail-level", "WARNING")
    done = command(*words, NURSERY_DATA=str(tmp_path), **SERVER)
    assert done.returncode == 0, done.stderr


OWN = {"NURSERY_CHILD_ORIGINS": "https://orrin.local:8600"}

SHAPES = {
    "at home, a cookie goes over plain http": ({}, "settings.SESSION_COOKIE_SECURE", "False"),
    "on a server it does not": (SERVER, "settings.SESSION_COOKIE_SECURE", "True"),
    "at home, no browser is told to insist on https": ({}, "settings.SECURE_HSTS_SECONDS", "0"),
    "on a server it is": (SERVER, "settings.SECURE_HSTS_SECONDS", "31536000"),
    "under an own certificate, a cookie goes over https alone": (
        OWN,
        "settings.SESSION_COOKIE_SECURE and settings.CSRF_COOKIE_SECURE",
        "True",
    ),
    "under an own certificate, no neighbour of the domain plants a session": (
        OWN,
        "settings.SESSION_COOKIE_NAME",
        "__Host-nursery_session",
    ),
    "under an own certificate, no browser is told to insist on https": (
        OWN,
        "settings.SECURE_HSTS_SECONDS",
        "0",
    ),
    "nor on a server that has one": (OWN | SERVER, "settings.SECURE_HSTS_SECONDS", "0"),
    "under a real certificate, a browser is told to insist on https": (
        OWN | {"NURSERY_CHILD_REAL_CERTIFICATE": "yes"},
        "settings.SECURE_HSTS_SECONDS",
        "31536000",
    ),
    "the origin of a certificate is trusted as this one": (
        OWN,
        "settings.CSRF_TRUSTED_ORIGINS",
        "['https://orrin.local:8600']",
    ),
    "a proxy is believed only where one is said to be": (
        {"NURSERY_PRODUCTION": "yes"},
        "settings.SECURE_PROXY_SSL_HEADER",
        "None",
    ),
    "the demo has a folder of its own": ({"NURSERY_DEMO": "yes"}, "settings.DATA.name", "demo"),
    "the operators' window is shut": (
        {},
        "'django.contrib.admin' in settings.INSTALLED_APPS",
        "False",
    ),
    "the operators' window is opened by a setting": (
        {"NURSERY_ADMIN": "yes"},
        "'django.contrib.admin' in settings.INSTALLED_APPS",
        "True",
    ),
    "no transaction spans a request": ({}, "settings.ATOMIC_REQUESTS", "False"),
    "a secret may come from outside": (
        {"NURSERY_SECRET_KEY": "s" * 60},
        "settings.SECRET_KEY == 's' * 60",
        "True",
    ),
}


@pytest.mark.parametrize(("variables", "what", "is_"), SHAPES.values(), ids=SHAPES.keys())
def test_shape(variables: dict[str, str], what: str, is_: str, tmp_path: Path) -> None:
    assert ask(what, tmp_path, **variables) == is_


def test_reading_the_settings_makes_nothing(tmp_path: Path) -> None:
    ask("settings.DATA", tmp_path / "none")
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize(
    ("variables", "message"),
    [
        ({"NURSERY_LOG_LEVEL": "loud"}, "NURSERY_LOG_LEVEL is 'loud'. Give one of: debug, info,"),
        ({"NURSERY_DATABSE_URL": "x"}, "Did you mean NURSERY_DATABASE_URL?"),
        ({"NURSERY_DATABASE_URL": "mysql://h/n"}, "Give an address like postgresql://"),
    ],
)
def test_a_wrong_setting_ends_every_command_with_one_line(
    variables: dict[str, str], message: str, tmp_path: Path
) -> None:
    done = command("-m", "config", "doctor", NURSERY_DATA=str(tmp_path), **variables)
    assert done.returncode == 2
    assert message in done.stderr
    assert done.stderr.count("\n") == 1
