"""Listening: on which address, and what is said when it cannot be had."""

from __future__ import annotations

import errno
import socket
import threading
import urllib.request
from collections.abc import Callable, Iterable
from typing import Any

import pytest

from studio.running import serving


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def test_a_port_in_use_is_named_with_the_next_one() -> None:
    with serving.listen(serving.LOOPBACK, free_port()) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(serving.PortTrouble) as caught:
            serving.listen(serving.LOOPBACK, port)
    assert f"Port {port} is in use" in str(caught.value)
    assert f"--port {port + 1}" in str(caught.value)


@pytest.mark.parametrize(
    ("number", "words"),
    [(errno.EACCES, "reserved by the system"), (errno.EADDRNOTAVAIL, "cannot be opened")],
)
def test_other_trouble_with_a_port_is_told(
    monkeypatch: pytest.MonkeyPatch, number: int, words: str
) -> None:
    class Refusing(socket.socket):
        def bind(self, address: Any) -> None:
            raise OSError(number, "no")

    monkeypatch.setattr(socket, "socket", Refusing)
    with pytest.raises(serving.PortTrouble, match=words):
        serving.listen(serving.LOOPBACK, 80)


def test_the_house_address_is_never_this_computer_alone() -> None:
    address = serving.house_address()
    assert address is None or not address.startswith("127.")


def test_without_a_network_there_is_no_house_address(monkeypatch: pytest.MonkeyPatch) -> None:
    class Offline(socket.socket):
        def connect(self, address: Any) -> None:
            raise OSError(errno.ENETUNREACH, "Network is unreachable")

    monkeypatch.setattr(socket, "socket", Offline)
    assert serving.house_address() is None


@pytest.mark.parametrize(
    ("proxy", "seen"), [("", "127.0.0.1 http"), ("127.0.0.1", "192.0.2.7 https")]
)
def test_forwarded_headers_count_only_behind_the_named_proxy(
    monkeypatch: pytest.MonkeyPatch, proxy: str, seen: str
) -> None:
    finished = threading.Event()

    def application(environ: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        start("200 OK", [])
        return [f"{environ['REMOTE_ADDR']} {environ['wsgi.url_scheme']}".encode()]

    def run_until_finished(server: Any) -> None:
        while not finished.is_set():
            server.asyncore.loop(timeout=0.05, map=server._map, count=1)
        server.task_dispatcher.shutdown()
        server.asyncore.close_all(server._map)

    monkeypatch.setattr("waitress.server.TcpWSGIServer.run", run_until_finished)
    monkeypatch.setattr("signal.signal", lambda *_: None)  # only a main thread may
    listening = serving.listen(serving.LOOPBACK, free_port())
    port = listening.getsockname()[1]
    thread = threading.Thread(target=serving.serve, args=(application, listening, proxy))
    thread.start()
    try:
        headers = {"X-Forwarded-For": "192.0.2.7", "X-Forwarded-Proto": "https"}
        asked = urllib.request.Request(f"http://127.0.0.1:{port}/", headers=headers)
        with urllib.request.urlopen(asked, timeout=10) as answer:
            assert answer.read().decode() == seen
    finally:
        finished.set()
        thread.join(10)
    assert not thread.is_alive()
