"""Many families logging at once, against the server as `manage.py open` serves it.

    python -m tests.bench.bench_families --seconds 60
    pg_virtualenv -v 15 python -m tests.bench.bench_families --seconds 60 --processes 2

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
import datetime as dt
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
from zoneinfo import ZoneInfo

from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment
from tests.bench.kill_server import SERVE
from tests.bench.phone_line import Line
from tests.studio.running.test_serving import free_port

# Other settings or another database by the same variables as for the program itself.
SETTINGS = {
    "DJANGO_SETTINGS_MODULE": os.environ.get("DJANGO_SETTINGS_MODULE", "studio.settings"),
    "STUDIO_DATABASE_URL": os.environ.get("STUDIO_DATABASE_URL", ""),
}
WINDOWS, WANTED = 4, ("21:00", "21:20", "21:40", "22:00")
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
class Home:
    """One family's child: where its page is, and every message the studio has acknowledged."""

    page: str
    send: str
    student: int
    acknowledged: list[dict[str, Any]] = field(default_factory=list)


@dataclass
class Tally:
    times: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    errors: list[str] = field(default_factory=list)
    # What the windows at the desk do: addresses that move a lesson, to one day, how often it went.
    moves: list[str] = field(default_factory=list)
    day: str = ""
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
            starts = chance.choice(WANTED)
            fields = {"day": tally.day, "starts": starts, "minutes": "30", "place": "", "link": ""}
            tally.won += await line.form("move", move, fields) == 302
            await asyncio.sleep(0.1)
    line.close()


def make_families(count: int) -> list[Home]:
    """Copies of the example's students with the week that holds today, each in its own family."""
    import copy

    from django.urls import reverse

    from practice.models import Assignment, Item
    from studio import clock
    from studio.access.models import Studio
    from studio.links import tokens
    from studio.models import Family, HomeLink

    def again(row: Any, **changed: Any) -> Any:
        new = copy.copy(row)
        new.pk, new._state = None, copy.copy(row._state)
        new._state.adding, new._state.fields_cache = True, {}
        for name, value in changed.items():
            setattr(new, name, value)
        return new

    studio = Studio.objects.get()
    today = clock.today(studio)
    weeks = Assignment.objects.filter(plan__items__date=today, plan__items__minutes__gt=0)
    models = list(weeks.select_related("plan", "student").distinct().order_by("pk"))
    homes = []
    for number in range(count):
        model = models[number % len(models)]
        family = Family.objects.create(studio=studio, name=f"Family {number}")
        student = again(model.student, family=family)
        student.save()
        assignment = again(model, student=student, lesson=None)
        assignment.save()
        plan = again(model.plan, assignment=assignment)
        plan.save()
        Item.objects.bulk_create(again(item, plan=plan) for item in model.plan.items.all())
        token = tokens.issue(HomeLink(opens=HomeLink.Opens.FAMILY, family=family))
        of = [token, student.pk]
        homes.append(
            Home(reverse("home:child", args=of), reverse("home:send", args=of), student.pk)
        )
    return homes


def lost_and_doubled(homes: list[Home]) -> tuple[int, int]:
    """Acknowledged messages that are not there, and those that count otherwise than once."""
    from practice.models import Item, LogEntry, Receipt, Word

    lost = doubled = 0
    receipts = {key.hex for key in Receipt.objects.values_list("key", flat=True)}
    planned = dict(Item.objects.values_list("pk", "minutes"))
    for home in homes:
        wanted: dict[int, tuple[bool, int]] = {}
        words = []
        for message in home.acknowledged:
            lost += message["key"] not in receipts
            words += [message["word"]] if "word" in message else []
            for tick in message["ticks"]:
                item = tick["item"]
                if tick["done"] or item in wanted:
                    told = planned[item] if tick["minutes"] is None else tick["minutes"]
                    wanted[item] = (tick["done"], told)
        rows = LogEntry.objects.filter(item__plan__assignment__student=home.student)
        kept = {row.item_id: (row.done, row.minutes) for row in rows if row.item_id in wanted}
        lost += sum(kept.get(item) != value for item, value in wanted.items())
        said = list(Word.objects.filter(student=home.student).values_list("text", flat=True))
        lost += len(set(words) - set(said))
        doubled += len(said) - len(set(said))
    return lost, doubled


def make_windows(tally: Tally) -> str:
    """Lessons to move, each of a student of its own; returns the cookie of a signed-in teacher."""
    from django.contrib.auth import login
    from django.contrib.sessions.backends.db import SessionStore
    from django.http import HttpRequest
    from django.urls import reverse

    from studio import clock
    from studio.access.models import Studio
    from studio.models import Lesson

    studio = Studio.objects.get()
    today = clock.today(studio)
    tally.day = f"{today + dt.timedelta(days=12)}"
    to_come = Lesson.objects.filter(date__gt=today, status=Lesson.Status.PLANNED)
    first = {lesson.student.family_id: lesson.pk for lesson in to_come.select_related("student")}
    tally.moves = [reverse("lessons:lesson-move", args=[pk]) for pk in first.values()]
    request = HttpRequest()
    request.session = SessionStore()
    login(request, studio.owner, "studio.access.backend.TeacherBackend")
    request.session.save()
    return str(request.session.session_key)


def double_bookings() -> int:
    from studio.access.models import Studio
    from studio.dates.free import clash
    from studio.models import Lesson, LessonRules

    studio = Studio.objects.get()
    travel, zone = LessonRules.of(studio).travel, ZoneInfo(studio.zone)
    held = [lesson.booked(zone) for lesson in Lesson.objects.of(studio).standing()]
    return sum(clash(one, other, travel) for n, one in enumerate(held) for other in held[n + 1 :])


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
        os.environ.update(STUDIO_DATA=made, **SETTINGS)
        import django

        django.setup()
        from django.core.management import call_command
        from django.db import connection

        call_command("migrate", run_syncdb=True, verbosity=0)
        call_command("load_catalogue", verbosity=0)
        call_command("example_studio", verbosity=0)
        homes = make_families(asked.families)
        cookie = make_windows(tally) if asked.processes > 1 else ""
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
