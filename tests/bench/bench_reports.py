"""How long the reports of a whole studio take, and what they need of memory.

    python -m tests.bench.bench_reports 15 60 300

Draws so many reports in the drawing processes and binds them into one PDF and a zip, as a job
does; then one report, warm. Prints seconds on the wall and of the processors, megabytes, and the
ratio to each target. On a busy machine look at the processors' seconds: with both processors free
the wall takes about half of them.
"""

from __future__ import annotations

import os
import resource
import sys
import tempfile
import time
from pathlib import Path

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
django.setup()

from practice.printing import store  # noqa: E402
from practice.printing.orders import Binding, Order  # noqa: E402
from practice.printing.pens import Pens  # noqa: E402
from practice.reports.render import report_pdf  # noqa: E402
from tests.practice.reports.material import report_data  # noqa: E402

SIXTY_SECONDS, MOST_MB, ONE_SECONDS = 20.0, 500.0, 0.5
NAMES = ("Imani", "Bảo", "Łucja", "Şebnem", "Noor", "Tadhg")
USUAL = (15, 60, 300)


def whole_studio(count: int, folder: Path) -> tuple[float, float, float, float]:
    """Seconds on the wall, of the processors, megabytes of all processes, and of the PDF."""
    data = [report_data(student=name).to_json() for name in NAMES]
    orders = [
        Order(n, "reports", str(folder / f"{n}.pdf"), data[n % len(data)]) for n in range(count)
    ]
    started, busy = time.perf_counter(), seconds_of_children()
    with Pens(count) as pens:
        answers = [each for each in pens.draw(orders) if each]
        parts = [order.file for order in orders]
        binding = Binding("All", parts, [f"{n:03}.pdf" for n in range(count)])
        answers += [each for each in pens.draw([binding.order(folder)]) if each]
        most = sum(most_memory(pen._process.pid) for pen in pens._pens if pen._process)
    assert all(not each.trouble for each in answers), answers
    wall = time.perf_counter() - started
    own = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    size = (folder / store.PDF).stat().st_size / 1e6
    return wall, seconds_of_children() - busy, most + own, size


def seconds_of_children() -> float:
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def most_memory(pid: int) -> float:
    """Megabytes a process has had at most; 0 where the system does not tell."""
    path = Path(f"/proc/{pid}/status")
    lines = path.read_text().splitlines() if path.exists() else []
    found = [int(line.split()[1]) / 1024 for line in lines if line.startswith("VmHWM")]
    return found[0] if found else 0.0


def one_report() -> tuple[float, float]:
    report_pdf(report_data())
    wall, own = [], []
    for _ in range(7):
        started, busy = time.perf_counter(), time.process_time()
        report_pdf(report_data())
        wall.append(time.perf_counter() - started)
        own.append(time.process_time() - busy)
    return min(wall), min(own)


def main() -> None:
    found = {}
    for count in [int(word) for word in sys.argv[1:]] or USUAL:
        with tempfile.TemporaryDirectory() as folder:
            wall, used, megabytes, size = whole_studio(count, Path(folder))
        found[count] = used / count
        target = SIXTY_SECONDS * count / 60
        print(
            f"{count:4} reports: {wall:.1f} s on the wall, {used:.1f} s of the processors"
            f" ({used / 2 / target:.0%} of the target on two), {megabytes:.0f} MB"
            f" ({megabytes / MOST_MB:.0%}), PDF of {size:.1f} MB, {used / count:.3f} s each"
        )
    if len(found) > 1:
        least, most = min(found), max(found)
        print(f"one of {most} takes {found[most] / found[least]:.2f} times one of {least}")
    wall, own = one_report()
    print(f"one, warm: {wall:.3f} s on the wall, {own:.3f} s own, {own / ONE_SECONDS:.0%}")


if __name__ == "__main__":
    main()
