"""The built-in server: one process, four threads, on this computer or in the house network."""

import errno
import signal
import socket
import sys
from collections.abc import Callable
from types import FrameType
from typing import Any

from studio.running.trouble import Trouble

THREADS = 4
# A phone keeps up to six connections for two minutes; at the limit nobody new is let in.
MOST_CONNECTIONS = 1000
# Python lets a thread run 5 ms before another may; a short answer would wait for a long page so
# at each of its queries.
LONGEST_TURN = 0.001  # seconds
LOOPBACK = "127.0.0.1"
EVERYWHERE = "0.0.0.0"  # noqa: S104 (only with --lan)
# Reserved for documentation (RFC 5737): connecting a datagram socket to it sends nothing.
NOWHERE = ("192.0.2.1", 9)


class PortTrouble(Trouble):
    """The address cannot be listened on; the text says what to do."""


def listen(host: str, port: int) -> socket.socket:
    """A bound socket. Taken before any other work, so that a port in use is told at once."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
        listening.listen(128)
    except OSError as error:
        listening.close()
        raise PortTrouble(_sentence(port, error)) from None
    return listening


def house_address() -> str | None:
    """This computer's address in the house network, or None without one."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(NOWHERE)
        except OSError:
            return None
        address: str = probe.getsockname()[0]
    return None if address.startswith(("127.", "0.")) else address


def made(application: Callable[..., Any], listening: socket.socket, trusted_proxy: str) -> Any:
    """The server, not yet running."""
    from waitress import create_server

    behind: dict[str, Any] = {}
    if trusted_proxy:
        behind = {
            "trusted_proxy": trusted_proxy,
            "trusted_proxy_count": 1,
            "trusted_proxy_headers": {"x-forwarded-for", "x-forwarded-host", "x-forwarded-proto"},
        }
    return create_server(
        application,
        sockets=[listening],
        threads=THREADS,
        connection_limit=MOST_CONNECTIONS,
        asyncore_use_poll=True,  # select() ends at 1024 files
        ident=None,
        clear_untrusted_proxy_headers=True,
        **behind,
    )


def serve(application: Callable[..., Any], listening: socket.socket, trusted_proxy: str) -> None:
    """Answer requests until Ctrl+C or a polite end signal."""
    server = made(application, listening, trusted_proxy)
    sys.setswitchinterval(LONGEST_TURN)
    signal.signal(signal.SIGTERM, _end)
    server.run()


def _end(number: int, frame: FrameType | None) -> None:
    raise KeyboardInterrupt


def _sentence(port: int, error: OSError) -> str:
    if error.errno == errno.EADDRINUSE:
        return (
            f"Port {port} is in use, perhaps by a studio that is open already. "
            f"Close it, or choose another: python3 manage.py open --port {port + 1}"
        )
    if error.errno == errno.EACCES:
        return f"Port {port} is reserved by the system. Choose one above 1023, for example 8000."
    return f"Port {port} cannot be opened ({error.strerror}). Choose another with --port."
