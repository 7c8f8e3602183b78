"""How soon a child can tick on a slow phone: Chromium, its processor slowed and its network too.

    python -m tests.bench.bench_slow_phone

The example's fullest day, from the server as `manage.py open` serves it, nothing cached, the
processor at a quarter. Times in ms from the start of the visit, medians: `answer` first byte of
the page; `form` the first peg stands where a finger finds it, so a tap ticks (what is tapped
before the script runs is sent when it does); `script` a tap is sent at once; `letters` all faces
are there. And what was fetched, in kB, without the music. Asserts nothing. Target: form and
script under 1000 on the first network.
"""

from __future__ import annotations

import os
import statistics
import tempfile
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, sync_playwright

from tests.bench.bench_families import served
from tests.bench.studio_of_families import make_example, make_families

RUNS, SLOWER = 5, 4
# Name: kbit/s down, ms there and back for each request. Up is half of down.
NETWORKS = {
    "1.6 Mbit/s, 150 ms": (1600, 150),
    "750 kbit/s, 300 ms": (750, 300),
    "400 kbit/s, 400 ms": (400, 400),
}
WATCH = """(() => {
  window.seen = {};
  const look = () => {
    const peg = document.querySelector('.row .peg'), box = peg?.getBoundingClientRect();
    if (box?.width > 30 && document.elementFromPoint(box.x + 20, box.y + 20)?.closest('label')) {
      seen.form ??= performance.now();
    }
    if (document.querySelector('.home.js')) seen.script ??= performance.now();
    if (!seen.form || !seen.script) requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
  document.fonts?.ready.then(() => addEventListener('load', async () => {
    await document.fonts.ready;
    seen.letters = performance.now();
  }));
})()"""
ALL_SEEN = "() => seen.form && seen.script && document.readyState === 'complete'"
TOLD = """async () => {
  await document.fonts.ready;
  const answer = performance.getEntriesByType('navigation')[0].responseStart;
  return [answer, seen.form, seen.script, seen.letters ?? performance.now()];
}"""


def visit(browser: Browser, url: str, kbit: int, ms: int) -> tuple[list[float], int]:
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, is_mobile=True, service_workers="block"
    )
    page = context.new_page()
    phone = context.new_cdp_session(page)
    names: dict[str, str] = {}
    fetched: list[tuple[str, int]] = []

    def answered(event: dict[str, Any]) -> None:
        names[event["requestId"]] = event["response"]["url"]

    def finished(event: dict[str, Any]) -> None:
        fetched.append((names[event["requestId"]], event["encodedDataLength"]))

    phone.on("Network.responseReceived", answered)
    phone.on("Network.loadingFinished", finished)
    phone.send("Network.enable")
    phone.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    speed = {"downloadThroughput": kbit * 125, "uploadThroughput": kbit * 62}
    phone.send("Network.emulateNetworkConditions", {"offline": False, "latency": ms, **speed})
    page.add_init_script(WATCH)
    page.goto(url, wait_until="commit")
    page.wait_for_function(ALL_SEEN)
    told: list[float] = page.evaluate(TOLD)
    context.close()
    return told, sum(size for name, size in fetched if "/engraved/" not in name)


def main() -> None:
    with tempfile.TemporaryDirectory(prefix="studio-slow-phone-") as made:
        make_example(made)
        from django.db import connection

        from tests.conftest import chromium_path

        home = make_families(1)[0]
        connection.close()
        with served(Path(made), 1) as front, sync_playwright() as playwright:
            flags = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
            browser = playwright.chromium.launch(executable_path=chromium_path(), args=flags)
            url = f"http://127.0.0.1:{front.port}{home.page}"
            visit(browser, url, 100_000, 0)
            print(f"{'':20} {'answer':>7} {'form':>7} {'script':>7} {'letters':>7} {'kB':>6}")
            for name, network in NETWORKS.items():
                visits = [visit(browser, url, *network) for _ in range(RUNS)]
                times = [statistics.median(each[0][n] for each in visits) for n in range(4)]
                kb = max(each[1] for each in visits) / 1000
                print(f"{name:20} {' '.join(f'{each:7.0f}' for each in times)} {kb:6.1f}")
            browser.close()
        print(f"load of the machine {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
