"""`manage.py test`: style, types, migrations, deployment settings, then every test on SQLite."""

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence

from studio.running.bootstrap import BASE

DEPLOYED = {"STUDIO_HTTPS": "yes", "STUDIO_HOSTS": "studio.example", "STUDIO_PROXY": "127.0.0.1"}
# Its name, a Python module with arguments, and variables of its own.
Check = tuple[str, list[str], dict[str, str]]
CHECKS: Sequence[Check] = (
    ("ruff check", ["ruff", "check", "--quiet", "."], {}),
    ("ruff format", ["ruff", "format", "--check", "--quiet", "."], {}),
    ("mypy", ["mypy", "--no-error-summary"], {}),
    ("migrations", ["django", "makemigrations", "--check", "--dry-run"], {}),
    ("deployment", ["django", "check", "--deploy", "--fail-level", "WARNING"], DEPLOYED),
)


def run_all(pytest_arguments: list[str]) -> int:
    """Every check, then pytest with the given arguments; the status is 0 only if all passed."""
    with tempfile.TemporaryDirectory(prefix="studio-checks-") as folder:
        environment = clean_environment(folder)
        failed = [
            name for name, command, more in CHECKS if not _passes(name, command, environment | more)
        ]
        tests = ["pytest", "-n", "2", *pytest_arguments]
        if subprocess.run(
            [sys.executable, "-m", *tests], cwd=BASE, env=environment, check=False
        ).returncode:
            failed.append("pytest")
    if failed:
        print(f"Failed: {', '.join(failed)}.", file=sys.stderr)
    return 1 if failed else 0


def clean_environment(folder: str) -> dict[str, str]:
    """The environment without the developer's own studio: its settings and data stay untouched."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("STUDIO_")}
    return kept | {
        "DJANGO_SETTINGS_MODULE": "studio.settings",
        "STUDIO_DATA": folder,
        "PYTHONPATH": str(BASE),
    }


def _passes(name: str, command: list[str], environment: dict[str, str]) -> bool:
    started = time.monotonic()
    done = subprocess.run(
        [sys.executable, "-m", *command],
        cwd=BASE,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    passed = done.returncode == 0
    verdict = "passed" if passed else f"FAILED\n{done.stdout}{done.stderr}"
    print(f"{name:<12} {time.monotonic() - started:5.1f} s  {verdict}", flush=True)
    return passed
