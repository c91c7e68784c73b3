"""The page on which phones learn to trust: what it shows, what it hands over, and nothing else."""

import re
import subprocess
import sys
from collections.abc import Mapping
from datetime import UTC, datetime
from html.parser import HTMLParser
from pathlib import Path

import pytest
from cryptography import x509

from config import certificates, trust
from config.address import Address
from config.trust import Trust
from nursery.services import words
from tests.product import plain_environment
from tests.steps import ROOT

NOW = datetime(2031, 3, 3, 6, 30, tzinfo=UTC)
NAMES = ["orrin.local", "192.168.1.20"]
LANGUAGES = words.languages()


@pytest.fixture(scope="module")
def page() -> Trust:
    root = certificates.make_authority(NAMES, NOW).root
    return Trust(root, Address("orrin.local", 8600), "192.168.1.20", 8601)


class Got:
    """What a client gets for one request."""

    def __init__(
        self, page: Trust, path: str, method: str = "GET", headers: Mapping[str, str] | None = None
    ) -> None:
        asked = {f"HTTP_{k.upper().replace('-', '_')}": v for k, v in (headers or {}).items()}
        environ = {"PATH_INFO": path, "REQUEST_METHOD": method, "QUERY_STRING": "", **asked}

        def start(status: str, told: list[tuple[str, str]]) -> None:
            self.status, self.headers = int(status[:3]), dict(told)

        self.body = b"".join(page(environ, start))

    @property
    def text(self) -> str:
        return self.body.decode()


class Links(HTMLParser):
    """Collects where a page leads and what it loads, and the names of its elements."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.leads: list[str] = []
        self.loads: list[str] = []
        self.elements: set[str] = set()
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.elements.add(tag)
        address = given.get("href") or given.get("src") or given.get("action")
        if address:
            (self.leads if tag == "a" else self.loads).append(address)


@pytest.mark.parametrize("language", LANGUAGES)
def test_it_leads_to_the_certificate_and_the_app_and_to_nothing_of_the_book(
    language: str, page: Trust
) -> None:
    seen = Links(Got(page, f"/{language}").text)
    assert set(seen.leads) == {
        *(f"/{code}" for code in LANGUAGES),
        "/lathhouse.crt",
        "/lathhouse.pem",
        "https://orrin.local:8600/",
        "https://192.168.1.20:8600/",
    }
    assert seen.loads == ["/trust.css"]
    assert not seen.elements & {"script", "form", "iframe", "img", "style", "object"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_it_says_every_sentence_of_its_family_in_each_language(language: str, page: Trust) -> None:
    text = Got(page, f"/{language}").text
    assert f'<html lang="{language}">' in text
    missing = [
        key
        for key, sentence in words.catalogue(language).items()
        if key.startswith("trust.") and isinstance(sentence, str) and not in_page(sentence, text)
    ]
    assert missing == ["trust.nothing_here"]


def in_page(sentence: str, text: str) -> bool:
    parts = [part.strip() for part in re.split(r"\{[^}]*\}", sentence)]
    return all(part.replace("'", "&#x27;") in text for part in parts)


CHOSEN = {
    "a phone that speaks Spanish": ({"Accept-Language": "es-PE,es;q=0.9"}, "es"),
    "a phone that speaks neither": ({"Accept-Language": "fi"}, "en"),
    "a phone that says nothing": ({}, "en"),
}


@pytest.mark.parametrize(("headers", "language"), CHOSEN.values(), ids=CHOSEN.keys())
def test_the_phones_language_is_chosen(headers: dict[str, str], language: str, page: Trust) -> None:
    assert f'<html lang="{language}">' in Got(page, "/", headers=headers).text


def test_it_shows_the_fingerprint_and_the_name_that_alone_is_vouched_for(page: Trust) -> None:
    text = Got(page, "/en").text
    groups = certificates.fingerprint(page.root)
    assert re.findall(r"<b>([0-9A-F ]{11})</b>", text) == groups
    assert "vouch for orrin.local and 192.168.1.20 alone" in text
    assert "Lathhouse orrin.local 2031-03-03" in text


def test_it_shows_its_own_address_by_number_for_the_next_phone(page: Trust) -> None:
    text = Got(page, "/en").text
    assert '<p class="address">http://192.168.1.20:8601/</p>' in text
    assert text.count("<svg") >= 3


def test_without_an_address_on_the_network_it_shows_its_name(page: Trust) -> None:
    alone = Trust(page.root, page.app, "127.0.0.1", 8601)
    assert alone.own_address() == "http://orrin.local:8601/"


def test_where_the_name_is_all_that_is_vouched_for_no_number_is_offered() -> None:
    root = certificates.make_authority(["orrin.local"], NOW).root
    text = Got(Trust(root, Address("orrin.local", 8600), "127.0.0.1", 8601), "/en").text
    assert words.say("en", "trust.by_number") not in text


DOWNLOADS = {
    "/lathhouse.crt": ("application/x-x509-ca-cert", x509.load_der_x509_certificate),
    "/lathhouse.pem": ("application/x-pem-file", x509.load_pem_x509_certificate),
}


@pytest.mark.parametrize("path", DOWNLOADS)
def test_it_hands_over_the_authoritys_certificate_and_no_key(path: str, page: Trust) -> None:
    got, (kind, read) = Got(page, path), DOWNLOADS[path]
    assert (got.status, got.headers["Content-Type"]) == (200, kind)
    assert int(got.headers["Content-Length"]) == len(got.body)
    assert read(got.body) == page.root
    assert b"PRIVATE" not in got.body


ELSEWHERE = [
    "/api/v1/batches",
    "/api/v1/sync/ping",
    "/healthz",
    "/readyz",
    "/admin/",
    "/stock",
    "/index.html",
    "/sw.js",
    "/trust.html",
    "/trust.py",
    "/keys/tls/signer.key",
    "/../keys/tls/signer.key",
    "/%2e%2e/keys/tls/signer.key",
    "//",
    "/EN",
    "/en/",
    "en",
    "",
]


@pytest.mark.parametrize("path", ELSEWHERE)
def test_elsewhere_there_is_nothing(path: str, page: Trust) -> None:
    got = Got(page, path)
    assert (got.status, got.headers["Content-Type"]) == (404, "text/plain; charset=utf-8")
    assert got.text == words.say("en", "trust.nothing_here")


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "TRACE"])
def test_it_only_shows(method: str, page: Trust) -> None:
    assert Got(page, "/", method).status == 405


def test_a_head_is_a_get_without_its_body(page: Trust) -> None:
    head, got = Got(page, "/en", "HEAD"), Got(page, "/en")
    assert (head.status, head.headers, head.body) == (200, got.headers, b"")


def test_nothing_that_a_client_sends_comes_back(page: Trust) -> None:
    sent = {
        "Host": "melna.example",
        "Referer": "https://melna.example/<b>",
        "Accept-Language": "<b>",
    }
    assert "melna" not in Got(page, "/", headers=sent).text


@pytest.mark.parametrize("path", ["/", "/lathhouse.crt", "/nothing"])
def test_a_browser_is_told_to_load_nothing_from_elsewhere(path: str, page: Trust) -> None:
    headers = Got(page, path).headers
    assert "default-src 'none'" in headers["Content-Security-Policy"]
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert "Strict-Transport-Security" not in headers


def tokens(css: str) -> set[tuple[str, str]]:
    return set(re.findall(r"(--[a-z0-9-]+):\s*(#[0-9a-f]{3,6})\b", css))


def test_its_colours_are_those_of_the_app() -> None:
    app = (ROOT / "frontend/src/style/tokens.css").read_text(encoding="utf-8")
    own = (Path(trust.__file__).parent / "trust.css").read_text(encoding="utf-8")
    assert tokens(own)
    assert tokens(own) <= tokens(app)


def test_its_process_loads_no_table_and_no_route_of_the_book() -> None:
    ask = (
        "import sys, config.trust\n"
        "book = ('nursery.store', 'nursery.api', 'nursery.domain', 'django.db.models', 'celery')\n"
        "print([name for name in sys.modules if name.startswith(book)])"
    )
    done = subprocess.run(
        [sys.executable, "-c", ask],
        env=plain_environment() | {"DJANGO_SETTINGS_MODULE": "config.settings"},
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.strip() == "[]"


def test_it_brings_the_apps_typeface_and_no_other_file_of_the_app(
    page: Trust, tmp_path: Path
) -> None:
    (tmp_path / "assets").mkdir()
    (tmp_path / "assets" / "atkinson-latin-wght-normal-abc.woff2").write_bytes(b"letters")
    (tmp_path / "index.html").write_bytes(b"the app")
    built = Trust(page.root, page.app, page.host, page.port, tmp_path)
    got = Got(built, "/face.woff2")
    assert (got.headers["Content-Type"], got.body) == ("font/woff2", b"letters")
    assert Got(built, "/index.html").status == 404
    assert Got(page, "/face.woff2").status == 404
