"""Many families logging at once, against the server as `manage.py open` serves it.

    python -m tests.bench.bench_families --seconds 60
    pg_virtualenv -v 15 sh -c 'createdb studio && STUDIO_DATABASE_URL=postgres:///studio \\
        python -m tests.bench.bench_families --seconds 60 --processes 2'

Each family keeps one connection, opens its page, ticks one row after the other and sends a word;
every twentieth message is sent twice, as by a phone that did not hear the answer. The example's
weeks, copied. With more than one process: nginx in front (it must be installed), PostgreSQL
behind, and two windows that keep moving lessons onto one time.

Prints times as the phone has them (server and queue, no network), in ms, and the servers' own
time per answer. Ends with 1 when an answer failed, or an acknowledged message is not there, or is
there twice, or somebody is double-booked.
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import os
import random
import re
import statistics
import subprocess
import sys
import tempfile
import time
import uuid
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment
from tests.bench.kill_server import SERVE
from tests.bench.phone_line import Line
from tests.bench.studio_of_families import (
    SETTINGS,
    Home,
    double_bookings,
    lost_and_doubled,
    make_example,
    make_families,
    make_windows,
)
from tests.studio.running.test_serving import free_port

WINDOWS, DAYS, WANTED = 4, 8, ("21:00", "21:20", "21:40", "22:00")
ROW = re.compile(r'name="done" value="([\d ]+)"')
NGINX = """
daemon off; pid {folder}/pid; error_log stderr warn; events {{ worker_connections 1024; }}
http {{
  access_log off; client_body_temp_path {folder}; proxy_temp_path {folder};
  fastcgi_temp_path {folder}; uwsgi_temp_path {folder}; scgi_temp_path {folder};
  upstream studio {{ {servers} keepalive 32; }}
  server {{
    listen 127.0.0.1:{port};
    location / {{
      proxy_pass http://studio; proxy_http_version 1.1; proxy_set_header Connection "";
      proxy_set_header Host $host; proxy_set_header X-Forwarded-For $remote_addr;
      proxy_set_header X-Forwarded-Proto $scheme;
    }}
  }}
}}
"""


@dataclass
class Tally:
    times: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    errors: list[str] = field(default_factory=list)
    # What windows at the desk do: addresses that move a lesson, to which days, how often it went.
    moves: list[str] = field(default_factory=list)
    days: list[str] = field(default_factory=list)
    won: int = 0


@dataclass(frozen=True)
class Front:
    """The port to ask, and the processes that answer."""

    port: int
    servers: list[subprocess.Popen[str]]


async def at_home(home: Home, port: int, every: float, until: float, tally: Tally) -> None:
    chance = random.Random(home.student)
    line = Line(port, tally.times, tally.errors)
    await asyncio.sleep(chance.uniform(0, every))
    kind = "first page"
    while time.monotonic() < until:
        text, kind = await line.page(kind, home.page), "page"
        for row in ROW.findall(text):
            await asyncio.sleep(chance.uniform(0.5, 1.5) * every)
            if time.monotonic() >= until:
                break
            done, minutes = chance.random() < 0.8, chance.choice([None, None, 1, 5, 12])
            ticks = [
                {"item": int(item), "done": done, "ago": 0, "minutes": minutes, "tempo": None}
                for item in row.split()
            ]
            await say(line, home, chance, {"ticks": ticks})
        await say(line, home, chance, {"ticks": [], "word": f"Word {chance.random()}"})
    line.close()


async def say(line: Line, home: Home, chance: random.Random, what: dict[str, Any]) -> None:
    message = {"key": uuid.UUID(int=chance.getrandbits(128)).hex, **what}
    answer = await line.post("tick", home.send, message)
    if answer == {"taken": True}:
        home.acknowledged.append(message)
    if chance.random() < 0.05:
        again = await line.post("tick, again", home.send, message)
        if answer and again and again != {"taken": False}:
            line.errors.append(f"the second time: {again}")


async def at_desk(window: int, cookie: str, port: int, until: float, tally: Tally) -> None:
    """One window that keeps moving its lessons onto times that the other windows want too."""
    chance = random.Random(window)
    line = Line(port, tally.times, tally.errors, cookie)
    while time.monotonic() < until:
        for move in tally.moves[window::WINDOWS]:
            day, starts = chance.choice(tally.days), chance.choice(WANTED)
            fields = {"day": day, "starts": starts, "minutes": "30", "place": "", "link": ""}
            tally.won += await line.form("move", move, fields) == 302
            await asyncio.sleep(0.1)
    line.close()


@contextlib.contextmanager
def served(folder: Path, processes: int) -> Iterator[Front]:
    """The studio, served; with several processes nginx stands before them."""
    environment = (
        clean_environment(str(folder))
        | SETTINGS
        | ({"STUDIO_PROXY": "127.0.0.1"} if processes > 1 else {})
    )
    with contextlib.ExitStack() as stack:
        ports, servers = [free_port() for _ in range(processes)], []
        for port in ports:
            command = [sys.executable, "-c", SERVE, "open", "--port", str(port)]
            server = stack.enter_context(
                subprocess.Popen(
                    command, cwd=BASE, env=environment, stdout=subprocess.PIPE, text=True
                )
            )
            stack.callback(end, server)
            assert server.stdout
            while "Ctrl+C" not in (line := server.stdout.readline()):
                assert line, "the server did not start"
            servers.append(server)
        front = ports[0]
        if processes > 1:
            front = free_port()
            names = " ".join(f"server 127.0.0.1:{port};" for port in ports)
            settings = folder / "nginx.conf"
            settings.write_text(NGINX.format(folder=folder, servers=names, port=front))
            nginx = stack.enter_context(subprocess.Popen(["nginx", "-c", settings, "-p", folder]))
            stack.callback(nginx.terminate)
            time.sleep(1)
        yield Front(front, servers)


def end(server: subprocess.Popen[str]) -> None:
    server.terminate()
    server.communicate()


def own_seconds(process: subprocess.Popen[str]) -> float:
    """Processor time of a process so far; 0 where the system does not tell it like Linux."""
    with contextlib.suppress(OSError):
        fields = Path(f"/proc/{process.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")
    return 0.0


def tell(tally: Tally, seconds: float, own: float) -> None:
    print(f"{'':12} {'answers':>8} {'p50':>7} {'p95':>7} {'p99':>7} {'most':>7}  ms")
    for kind, times in sorted(tally.times.items()):
        cuts = statistics.quantiles(times, n=100) if len(times) > 1 else [times[0]] * 99
        print(
            f"{kind:12} {len(times):8} {cuts[49]:7.1f} {cuts[94]:7.1f} {cuts[98]:7.1f}"
            f" {max(times):7.1f}"
        )
    answers = sum(len(times) for kind, times in tally.times.items() if kind != "first page")
    print(
        f"{answers / seconds:.0f} answers a second; {1000 * own / answers:.1f} ms of the servers'"
        f" own time each, {100 * own / seconds:.0f} % of one core; load of the machine"
        f" {os.getloadavg()[0]:.1f}"
    )


async def run(
    homes: list[Home], tally: Tally, front: Front, cookie: str, asked: argparse.Namespace
) -> float:
    """Let them all come; returns the servers' own seconds while times were taken."""
    until = time.monotonic() + asked.settle + asked.seconds
    work = [at_home(home, front.port, asked.every, until, tally) for home in homes]
    if cookie:
        work += [at_desk(window, cookie, front.port, until, tally) for window in range(WINDOWS)]
    everybody = asyncio.gather(*work)
    await asyncio.sleep(asked.settle)
    for kind in set(tally.times) - {"first page"}:
        tally.times[kind].clear()
    before = sum(map(own_seconds, front.servers))
    await everybody
    return sum(map(own_seconds, front.servers)) - before


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--families", type=int, default=100)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--every", type=float, default=2, help="seconds between ticks of a family")
    parser.add_argument("--settle", type=float, default=10, help="seconds before times are taken")
    parser.add_argument("--processes", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="studio-families-") as made:
        folder, tally = Path(made), Tally()
        make_example(made)
        from django.db import connection

        homes = make_families(asked.families)
        cookie = ""
        if asked.processes > 1:
            tally.moves, tally.days, cookie = make_windows(DAYS)
        print(
            f"{asked.families} families, a tick each {asked.every:g} s, {asked.seconds:g} s, "
            f"{asked.processes} process(es), {connection.vendor}"
        )
        connection.close()
        with served(folder, asked.processes) as front:
            own = asyncio.run(run(homes, tally, front, cookie, asked))
        lost, doubled = lost_and_doubled(homes)
        booked = double_bookings() if cookie else 0
        tell(tally, asked.seconds, own)
        acknowledged = sum(len(home.acknowledged) for home in homes)
        print(
            f"{acknowledged} acknowledged messages, {lost} lost, {doubled} doubled,"
            f" {len(tally.errors)} errors"
        )
        if cookie:
            print(f"{tally.won} moves of {len(tally.times['move'])} won, {booked} double bookings")
        for error in tally.errors[:5]:
            print(f"  {error}")
        connection.close()
    return 1 if lost or doubled or booked or tally.errors or not acknowledged else 0


if __name__ == "__main__":
    sys.exit(main())
