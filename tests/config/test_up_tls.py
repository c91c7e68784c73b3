"""`nursery up` by https, over real sockets: who trusts the office is served, and nobody else."""

import http.client
import json
import re
import socket
import ssl
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email.message import Message
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding

from config import certificates, folder, office, serving, up
from config.address import Address
from config.serving import Serving
from config.supervisor import Supervisor
from nursery.services import clock
from tests import product
from tests.config.test_given import NAME as DOMAIN
from tests.config.test_given import written
from tests.product import Process, answer, running, wait_until
from tests.servers import free_port, is_free
from tests.steps import ROOT

NAME = "orrin.local"
DAY = timedelta(days=1)


@dataclass
class Client:
    """A browser on the same network: it looks the name up, and comes to this computer."""

    port: int
    trusts: bytes
    name: str = NAME
    newest: ssl.TLSVersion = ssl.TLSVersion.TLSv1_3
    cookies: dict[str, str] = field(default_factory=dict)

    def connected(self) -> ssl.SSLSocket:
        context = ssl.create_default_context(cadata=self.trusts.decode())
        context.maximum_version = self.newest
        context.set_alpn_protocols(["h2", "http/1.1"])
        plain = socket.create_connection(("127.0.0.1", self.port), 20)
        return context.wrap_socket(plain, server_hostname=self.name)

    def ask(
        self, method: str, path: str, body: object = None, **headers: str
    ) -> tuple[int, Message, bytes]:
        asking = http.client.HTTPConnection(self.name, self.port)
        context = ssl.create_default_context(cadata=self.trusts.decode())
        plain = socket.create_connection(("127.0.0.1", self.port), 20)
        asking.sock = context.wrap_socket(plain, server_hostname=self.name)
        origin = f"https://{self.name}:{self.port}"
        told = {"Content-Type": "application/json", "Origin": origin, "Referer": f"{origin}/"}
        told |= {"Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items())}
        told |= {"X-CSRFToken": self.cookies.get("nursery_csrf", "")}
        asking.request(method, path, json.dumps(body) if body else None, told | headers)
        got = asking.getresponse()
        content = got.read()
        asking.close()
        for cookie in got.headers.get_all("Set-Cookie") or ():
            name, value = cookie.split(";")[0].split("=", 1)
            self.cookies[name] = value
        return got.status, got.headers, content


@dataclass
class Up:
    """A running product."""

    process: Process
    environment: dict[str, str]
    port: int
    page_port: int

    @property
    def root(self) -> bytes:
        return (self.keys / "tls" / "root.pem").read_bytes()

    @property
    def keys(self) -> Path:
        return Path(self.environment["NURSERY_DATA"]) / "keys"

    def client(self, **more: object) -> Client:
        return Client(self.port, self.root, **more)  # type: ignore[arg-type]


@contextmanager
def started(environment: dict[str, str], log: Path, port: int, *words: str) -> Iterator[Up]:
    page_port = free_port()
    wait_until(lambda: is_free(port), why="nothing else answers there")
    pages = ("--page-port", str(page_port)) if "--tls" in words else ()
    with running(environment, log, "up", "--host", "127.0.0.1", *words, *pages) as process:
        process.greets()
        yield Up(process, environment, port, page_port)


@pytest.fixture(scope="module")
def office_up(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Up]:
    place, port = tmp_path_factory.mktemp("tls"), free_port()
    words = ("--tls", "--name", NAME, "--port", str(port))
    with (
        product.empty_place(place / "data") as environment,
        started(environment, place / "log", port, *words) as running_office,
    ):
        wait_until(lambda: answer(f"http://127.0.0.1:{running_office.page_port}/")[0] == 200)
        yield running_office


def refused(environment: dict[str, str], *words: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "config", "up", *words],
        env=environment,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 2, done.stdout
    assert "Traceback" not in done.stderr
    return done.stderr


def test_a_client_that_trusts_the_office_is_answered_by_https(office_up: Up) -> None:
    status, headers, body = office_up.client().ask("GET", "/healthz")
    assert status == 200
    assert body
    assert "Strict-Transport-Security" not in headers


@pytest.mark.parametrize("newest", [ssl.TLSVersion.TLSv1_2, ssl.TLSVersion.TLSv1_3])
def test_new_and_old_phones_are_offered_http_2(newest: ssl.TLSVersion, office_up: Up) -> None:
    with office_up.client(newest=newest).connected() as connected:
        assert connected.selected_alpn_protocol() == "h2"


def test_a_client_that_does_not_trust_it_turns_away(office_up: Up) -> None:
    stranger = certificates.make_authority([NAME], datetime.now(UTC)).root
    client = Client(office_up.port, stranger.public_bytes(Encoding.PEM))
    with pytest.raises(ssl.SSLCertVerificationError):
        client.ask("GET", "/healthz")


def test_a_client_that_asks_for_another_name_turns_away(office_up: Up) -> None:
    with pytest.raises(ssl.SSLCertVerificationError, match="Hostname mismatch"):
        office_up.client(name="melna.local").ask("GET", "/healthz")


def test_without_https_the_app_does_not_answer(office_up: Up) -> None:
    with socket.create_connection(("127.0.0.1", office_up.port), 20) as plain:
        plain.sendall(f"GET /healthz HTTP/1.1\r\nHost: {NAME}\r\n\r\n".encode())
        assert not plain.recv(1000).startswith(b"HTTP/")


def test_a_request_under_a_strange_name_is_turned_down(office_up: Up) -> None:
    assert office_up.client().ask("GET", "/stock", Host="melna.example")[0] == 400


def test_a_grower_signs_in_and_a_phone_joins_with_cookies_that_https_alone_carries(
    office_up: Up,
) -> None:
    begin = ["begin", "Veshmere", "--zone", "Etc/GMT-10", "--grower", "Ana"]
    subprocess.run(
        [sys.executable, "-m", "config", *begin, "--email", "ana@veshmere.example"],
        env=office_up.environment,
        cwd=ROOT,
        input="three tall kettles\n",
        text=True,
        check=True,
        stdout=subprocess.DEVNULL,
    )
    grower, phone = office_up.client(), office_up.client()
    signed_in = {"email": "ana@veshmere.example", "password": "three tall kettles"}
    status, headers, body = grower.ask("POST", "/api/v1/session", signed_in)
    assert status == 200, body
    assert all("; Secure" in cookie for cookie in headers.get_all("Set-Cookie") or ["none"])
    status, _, body = grower.ask("POST", "/api/v1/invites", {"device_name": "blue"})
    assert status == 201, body
    invited = json.loads(body)
    assert invited["link"].startswith(f"https://{NAME}:{office_up.port}/#/join/")
    joining = {"code": invited["code"], "install": "i-1"}
    status, headers, body = phone.ask("POST", "/api/v1/sync/enrol", joining)
    assert status == 201, body
    (cookie,) = headers.get_all("Set-Cookie") or ["none"]
    assert cookie.startswith("__Host-nursery-device=")
    assert {"Secure", "HttpOnly", "Path=/"} <= {part.strip() for part in cookie.split(";")}
    assert phone.ask("GET", "/api/v1/sync/outlook", **{"X-Sync": "1"})[0] == 200
    assert office_up.client().ask("GET", "/api/v1/sync/outlook")[0] == 401


def test_the_page_hands_over_what_the_terminal_names(office_up: Up) -> None:
    page = f"http://127.0.0.1:{office_up.page_port}"
    root = x509.load_der_x509_certificate(answer(f"{page}/lathhouse.crt")[1])
    said = office_up.process.said()
    groups = re.findall(r"^  \d   ([0-9A-F ]{11})$", said, re.MULTILINE)
    assert groups == certificates.fingerprint(root)
    assert root.public_bytes(Encoding.PEM) == office_up.root
    assert f"Open https://{NAME}:{office_up.port}/" in said
    assert f"http://{NAME}:{office_up.page_port}/" in said
    assert "this computer only" not in said
    assert len(re.findall(r"^[█▀▄ ]{20,}$", said, re.MULTILINE)) >= 10  # the square


@pytest.mark.parametrize("path", ["/api/v1/batches", "/healthz", "/stock", "/admin/"])
def test_the_page_answers_for_nothing_else(path: str, office_up: Up) -> None:
    assert answer(f"http://127.0.0.1:{office_up.page_port}{path}")[0] == 404


def test_its_keys_are_this_users_alone(office_up: Up) -> None:
    files = [file for file in office_up.keys.rglob("*") if file.is_file()]
    assert len(files) >= 7
    assert {file.stat().st_mode & 0o777 for file in files} == {0o600}


def test_doctor_says_until_when_phones_can_trust_it(office_up: Up) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "config", "doctor"],
        env=office_up.environment,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    ends = x509.load_pem_x509_certificate(office_up.root).not_valid_after_utc
    assert "ok   phones can trust this computer" in done.stdout
    assert f"authority ends {ends:%Y-%m-%d}" in done.stdout


def test_it_starts_again_under_its_name_and_refuses_another(tmp_path: Path) -> None:
    port = free_port()
    with product.empty_place(tmp_path / "data") as environment:
        words = ("--tls", "--name", NAME, "--port", str(port))
        with started(environment, tmp_path / "first", port, *words) as first:
            root = first.root
        other = refused(environment, "--tls", "--name", "melna.local")
        assert f"Phones know this nursery as https://{NAME}:{port}" in other
        with started(environment, tmp_path / "second", port, "--tls") as second:
            assert f"Open https://{NAME}:{port}/" in second.process.said()
            assert second.root == root
            assert second.client().ask("GET", "/healthz")[0] == 200


def test_a_real_certificate_is_served_with_a_wish_for_https_and_without_the_page(
    tmp_path: Path,
) -> None:
    given, port = written(tmp_path, datetime.now(UTC)), free_port()
    words = ["--certificate", str(given.certificate), "--key", str(given.key)]
    words += ["--name", DOMAIN, "--port", str(port)]
    chain = x509.load_pem_x509_certificates(given.certificate.read_bytes())
    with (
        product.empty_place(tmp_path / "data") as environment,
        started(environment, tmp_path / "log", port, *words) as domain,
    ):
        status, headers, _ = partly_trusting(port, chain[-1])
        assert status == 200
        assert headers["Strict-Transport-Security"] == "max-age=31536000"
        assert f"Open https://{DOMAIN}:{port}/" in domain.process.said()
        assert "fingerprint" not in domain.process.said()
        assert not (domain.keys / "tls").exists()


def partly_trusting(port: int, signer: x509.Certificate) -> tuple[int, Message, bytes]:
    """Ask as a client does that trusts one who signed, and not who signed for that one."""
    context = ssl.create_default_context(cadata=signer.public_bytes(Encoding.PEM).decode())
    context.verify_flags |= ssl.VERIFY_X509_PARTIAL_CHAIN
    asking = http.client.HTTPConnection(DOMAIN, port)
    plain = socket.create_connection(("127.0.0.1", port), 20)
    asking.sock = context.wrap_socket(plain, server_hostname=DOMAIN)
    asking.request("GET", "/healthz")
    got = asking.getresponse()
    body = got.read()
    asking.close()
    return got.status, got.headers, body


def served(port: int, root: x509.Certificate) -> int:
    """Return the serial number of the certificate that is shown now; 0 while nothing answers."""
    try:
        with Client(port, root.public_bytes(Encoding.PEM)).connected() as connected:
            shown = connected.getpeercert(binary_form=True)
    except (ssl.SSLEOFError, ConnectionError):
        return 0
    assert shown is not None
    return x509.load_der_x509_certificate(shown).serial_number


def test_while_it_runs_a_new_certificate_is_taken_up_and_the_authority_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder.prepare(tmp_path)
    monkeypatch.setenv("NURSERY_DATA", str(tmp_path))
    monkeypatch.setattr(clock, "unshifted", lambda: datetime.now(UTC) - 300 * DAY)
    made = office.opened(tmp_path, [NAME], clock.unshifted(), anew=False)
    ready = Serving("127.0.0.1", free_port(), Address(NAME, 8600), made)
    (web,) = (child for child in serving.children(ready) if child.name == "web")
    supervisor, root = Supervisor((web,)), made.authority.root
    keeping = threading.Thread(target=up.keep_fresh, args=(ready, supervisor, 0.2))
    running_web = threading.Thread(target=supervisor.run)
    running_web.start()
    keeping.start()
    try:
        first = wait_until(lambda: served(ready.port, root), why="it answers")
        monkeypatch.setattr(clock, "unshifted", lambda: datetime.now(UTC))
        second = wait_until(
            lambda: (shown := served(ready.port, root)) not in (0, first) and shown,
            why="it shows another",
        )
        assert second != first
        assert office.root(tmp_path) == root
    finally:
        supervisor.stop.set()
        keeping.join()
        running_web.join()


def test_a_renewal_that_fails_is_said_and_the_web_server_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folder.prepare(tmp_path)
    made = office.opened(tmp_path, [NAME], clock.unshifted(), anew=False)
    monkeypatch.setattr(clock, "unshifted", lambda: datetime.now(UTC) - 300 * DAY)
    supervisor = Supervisor(())
    ready = Serving("127.0.0.1", 8600, Address(NAME, 8600), made)
    keeping = threading.Thread(target=up.keep_fresh, args=(ready, supervisor, 0.01))
    keeping.start()
    said = wait_until(lambda: capsys.readouterr().out)
    supervisor.stop.set()
    keeping.join()
    assert "The certificate was not renewed: This computer's clock says" in said


WORDS = {
    "a name that is none": (["--tls", "--name", "low house"], "is no name by which a phone finds"),
    "both ways at once": (
        ["--tls", "--certificate", "a", "--key", "b", "--name", "a.example"],
        "give one of the two",
    ),
    "a certificate without its key": (["--certificate", "a", "--name", "a.b"], "go together"),
    "a key without its certificate": (["--key", "a"], "go together"),
    "a certificate without a name": (["--certificate", "a", "--key", "b"], "needs --name"),
    "a name without https": (["--name", "a.example"], "go with --tls or --certificate"),
    "a file that is not there": (
        ["--certificate", "/none.pem", "--key", "/none.key", "--name", "a.example"],
        "/none.pem cannot be read",
    ),
}


@pytest.mark.parametrize(("words", "told"), WORDS.values(), ids=WORDS.keys())
def test_words_that_do_not_go_together_are_told(
    words: list[str], told: str, empty_place: dict[str, str]
) -> None:
    assert told in refused(empty_place, "--port", str(free_port()), *words)
    assert not (Path(empty_place["NURSERY_DATA"]) / "keys" / "address.json").exists()


def test_a_port_of_the_page_that_is_taken_is_named_with_its_option(
    empty_place: dict[str, str],
) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        words = ("--tls", "--name", NAME, "--host", "127.0.0.1", "--port", str(free_port()))
        said = refused(empty_place, *words, "--page-port", port)
    assert f"127.0.0.1:{port} cannot be used: Address already in use" in said
    assert "Choose another with --page-port" in said


def test_keys_that_cannot_be_written_are_named(empty_place: dict[str, str]) -> None:
    keys = Path(empty_place["NURSERY_DATA"]) / "keys"
    keys.mkdir(parents=True)
    (keys / "tls").write_text("a file where the folder should be")
    said = refused(empty_place, "--tls", "--name", NAME, "--port", str(free_port()))
    assert "keys/tls" in said
    assert "Give yourself the right to it" in said


def test_a_clock_before_the_authority_is_told(empty_place: dict[str, str]) -> None:
    data = Path(empty_place["NURSERY_DATA"])
    folder.prepare(data)
    office.opened(data, [NAME], datetime.now(UTC) + 30 * DAY, anew=False)
    said = refused(empty_place, "--tls", "--name", NAME, "--port", str(free_port()))
    assert "This computer's clock says" in said
    assert "Set the clock, then start again." in said


def test_a_real_certificate_that_is_over_is_told(
    empty_place: dict[str, str], tmp_path: Path
) -> None:
    given = written(tmp_path, datetime.now(UTC) - 500 * DAY)
    words = ["--certificate", str(given.certificate), "--key", str(given.key), "--name", DOMAIN]
    said = refused(empty_place, *words, "--port", str(free_port()))
    assert "Fetch a new one from whoever made it" in said
