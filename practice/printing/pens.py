"""Drawing processes as the worker uses them: one or two, started with the first order."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterable, Iterator
from contextlib import suppress
from queue import Empty, Queue
from typing import Protocol

from django.conf import settings

from practice.printing.orders import Answer, Order, broken_off

LONGEST_PAGE = 120  # seconds, after which its process is ended
LOOK_UP = 2.0  # seconds
ENOUGH_FOR_TWO = 8  # orders, below which starting a second process takes longer than it saves


class Draws(Protocol):
    def draw(self, orders: Iterable[Order]) -> Iterator[Answer | None]: ...


class Pen:
    """One process. It is started with the first order, and again after it broke."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None

    def draw(self, order: Order) -> Answer:
        process = self._process = self._process or _start()
        late = threading.Timer(LONGEST_PAGE, process.kill)
        late.start()
        line = b""
        try:
            if process.stdin and process.stdout:
                process.stdin.write(order.line())
                process.stdin.flush()
                line = process.stdout.readline()
        except (OSError, ValueError):
            pass  # it ended before it had read, or was put down meanwhile
        finally:
            late.cancel()
        if not line:
            self.put_down()
            return broken_off(order)
        return Answer(**json.loads(line))

    def put_down(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        with suppress(OSError):
            process.communicate()


def _start() -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "practice.printing.draw"],
        cwd=settings.BASE_DIR,
        env={**os.environ, "STUDIO_SECRET_KEY": settings.SECRET_KEY},
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    )


class Pens:
    """Use as a context: at its end no process is left."""

    def __init__(self, orders: int) -> None:
        count = 2 if orders >= ENOUGH_FOR_TWO and (os.cpu_count() or 1) > 1 else 1
        self._pens = [Pen() for _ in range(count)]
        self._answers: Queue[tuple[Pen, Answer]] = Queue()

    def __enter__(self) -> Pens:
        return self

    def __exit__(self, *_: object) -> None:
        for pen in self._pens:
            pen.put_down()

    def draw(self, orders: Iterable[Order]) -> Iterator[Answer | None]:
        """Answers as they come; None whenever a while has passed without one."""
        waiting = iter(orders)
        busy = sum(self._give(pen, waiting) for pen in self._pens)
        while busy:
            try:
                pen, answer = self._answers.get(timeout=LOOK_UP)
            except Empty:
                yield None
                continue
            busy += self._give(pen, waiting) - 1
            yield answer

    def _give(self, pen: Pen, waiting: Iterator[Order]) -> int:
        """Hands the next order over; how many that were. A thread that ends with the program."""
        order = next(waiting, None)
        if order is None:
            return 0
        threading.Thread(target=self._draw, args=[pen, order], name="pen", daemon=True).start()
        return 1

    def _draw(self, pen: Pen, order: Order) -> None:
        self._answers.put((pen, pen.draw(order)))
