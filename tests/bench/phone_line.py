"""One kept connection to the server under test: plain HTTP/1.1, as light as a client can be."""

from __future__ import annotations

import asyncio
import gzip
import json
import time
from typing import Any
from urllib.parse import urlencode

LONGEST_WAIT = 30  # seconds
_TOKEN = "x" * 32


class Line:
    """Asks one thing after the other, notes how long each took and what went wrong."""

    def __init__(
        self, port: int, times: dict[str, list[float]], errors: list[str], cookie: str = ""
    ) -> None:
        self.port, self.times, self.errors, self.cookie = port, times, errors, cookie
        self.status = 0
        self._ends: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    async def ask(
        self, kind: str, method: str, path: str, body: bytes = b"", more: str = ""
    ) -> bytes:
        """The unpacked body; `status` is the answer's, 0 when there was none."""
        self.status, content = 0, b""
        started = time.perf_counter()
        try:
            async with asyncio.timeout(LONGEST_WAIT):
                if self._ends is None:
                    self._ends = await asyncio.open_connection("127.0.0.1", self.port)
                content = await self._exchange(method, path, body, more)
        except (OSError, EOFError, TimeoutError, ValueError) as error:
            self.close()
            self.errors.append(f"{kind}: {type(error).__name__}")
        self.times[kind].append(1000 * (time.perf_counter() - started))
        return content

    async def _exchange(self, method: str, path: str, body: bytes, more: str) -> bytes:
        assert self._ends
        reader, writer = self._ends
        head = (
            f"{method} {path} HTTP/1.1\r\nHost: 127.0.0.1\r\nAccept-Encoding: gzip\r\n"
            f"Content-Length: {len(body)}\r\n{more}\r\n"
        )
        writer.write(head.encode() + body)
        first, *lines = (await reader.readuntil(b"\r\n\r\n")).decode("latin-1").split("\r\n")
        self.status = int(first.split()[1])
        headers = {
            name.lower(): value for name, _, value in (line.partition(": ") for line in lines)
        }
        if headers.get("transfer-encoding") == "chunked":
            content = await _chunks(reader)
        else:
            content = await reader.readexactly(int(headers.get("content-length", 0)))
        if headers.get("connection", "").lower() == "close":
            self.close()
        return gzip.decompress(content) if headers.get("content-encoding") == "gzip" else content

    async def page(self, kind: str, path: str) -> str:
        content = await self.ask(kind, "GET", path)
        if self.status != 200:
            self.errors.append(f"{kind}: {self.status}")
        return content.decode()

    async def post(self, kind: str, path: str, message: dict[str, Any]) -> Any:
        """Send one message of a home page; what the studio says, None when it does not."""
        content = await self.ask(kind, "POST", path, json.dumps(message).encode())
        if self.status != 200:
            self.errors.append(f"{kind}: {self.status} {content[:80]!r}")
            return None
        return json.loads(content)

    async def form(self, kind: str, path: str, fields: dict[str, str]) -> int:
        """Send a form as the signed-in teacher; the answer's status."""
        more = (
            f"Cookie: sessionid={self.cookie}; csrftoken={_TOKEN}\r\nX-CSRFToken: {_TOKEN}\r\n"
            "Content-Type: application/x-www-form-urlencoded\r\n"
        )
        await self.ask(kind, "POST", path, urlencode(fields).encode(), more)
        if self.status not in {302, 422}:
            self.errors.append(f"{kind}: {self.status}")
        return self.status

    def close(self) -> None:
        if self._ends:
            self._ends[1].close()
        self._ends = None


async def _chunks(reader: asyncio.StreamReader) -> bytes:
    found = []
    while size := int(await reader.readline(), 16):
        found.append((await reader.readexactly(size + 2))[:-2])
    await reader.readline()
    return b"".join(found)
