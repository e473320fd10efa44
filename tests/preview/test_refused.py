"""Only this machine's own pages are let in (DNS rebinding: a foreign name that is made to lead to 127.0.0.1)."""

from __future__ import annotations

import socket

import pytest
from live import Live

PATHS = ["/", "/live/piece.json", "/live/events", "/nothing"]


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "rebound.example"},
        {"Host": "rebound.example:{port}"},
        {"Host": "127.0.0.1"},
        {"Host": "127.0.0.1:1"},
        {"Host": "127.0.0.1:{port}.rebound.example"},
        {"Host": ""},
        {"Origin": "https://rebound.example"},
        {"Origin": "http://127.0.0.1:1"},
        {"Origin": "https://127.0.0.1:{port}"},
        {"Origin": "null"},
        {"Origin": ""},
    ],
    ids=lambda headers: " ".join(map(": ".join, headers.items())),
)
def test_a_foreign_host_or_origin_is_refused(running: Live, path: str, headers: dict[str, str]) -> None:
    port = running.preview.port
    response, body = running.get(path, **{name: value.format(port=port) for name, value in headers.items()})
    assert response.status == 403 and body.startswith(b"refused: ")


@pytest.mark.parametrize(
    "headers", [{}, {"Host": "localhost:{port}"}, {"Origin": "http://127.0.0.1:{port}"}, {"Origin": "http://localhost:{port}"}]
)
def test_its_own_names_are_let_in(running: Live, headers: dict[str, str]) -> None:
    port = running.preview.port
    response, _ = running.get("/live/piece.json", **{name: value.format(port=port) for name, value in headers.items()})
    assert response.status == 200


def raw(port: int, request: str) -> bytes:
    """The answer to a request as it is written here."""
    with socket.create_connection(("127.0.0.1", port), timeout=10) as connection:
        connection.sendall(request.replace("\n", "\r\n").encode())
        connection.shutdown(socket.SHUT_WR)
        return b"".join(iter(lambda: connection.recv(65536), b""))


def test_two_hosts_or_none_are_refused(running: Live) -> None:
    port = running.preview.port
    two = raw(port, f"GET / HTTP/1.1\nHost: 127.0.0.1:{port}\nHost: rebound.example\nConnection: close\n\n")
    none = raw(port, "GET / HTTP/1.0\n\n")
    assert two.split()[1] in (b"400", b"403") and none.split()[1] in (b"400", b"403")


def test_every_answer_is_kept_from_other_pages(running: Live) -> None:
    for path, headers in (("/", {}), ("/live/piece.json", {}), ("/nothing", {}), ("/", {"Origin": "https://rebound.example"})):
        response, _ = running.get(path, **headers)
        assert not [name for name in response.headers if name.lower().startswith("access-control-")]
        assert response.headers["x-content-type-options"] == "nosniff"
        assert response.headers["cross-origin-resource-policy"] == "same-origin"
        assert "frame-ancestors 'none'" in response.headers["content-security-policy"]


def test_it_listens_on_this_machine_alone(running: Live) -> None:
    assert running.preview.address == f"http://127.0.0.1:{running.preview.port}/"
    others = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)} - {"127.0.0.1", "127.0.1.1"}
    for address in others:
        with pytest.raises(OSError):
            socket.create_connection((address, running.preview.port), timeout=2).close()


def test_nothing_but_reading_is_taken(running: Live) -> None:
    port = running.preview.port
    for method in ("POST", "PUT", "DELETE", "OPTIONS"):
        assert raw(port, f"{method} /live/piece.json HTTP/1.1\nHost: 127.0.0.1:{port}\nConnection: close\n\n").split()[1] == b"405"
