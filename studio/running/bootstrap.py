"""Makes .venv and installs the locked packages into it. Standard library only.

The locks hold names, versions and hashes and no host, so pip asks whatever index it is set up for.
"""

import hashlib
import os
import re
import subprocess
import sys
import time
from importlib.util import find_spec
from pathlib import Path

from studio.running.trouble import Trouble

BASE = Path(__file__).resolve().parent.parent.parent
WINDOWS = os.name == "nt"
OFFLINE_SIGNS = ("NewConnectionError", "NameResolutionError", "timed out", "(from versions: none)")
PANGO_ON_MAC = "/opt/homebrew/lib"


class SetUpTrouble(Trouble):
    """The packages cannot be set up; the text says what to do."""


def ensure_packages(argv: list[str], *, with_tests: bool) -> None:
    """Return inside a complete .venv; otherwise make it so and start the command again in it."""
    venv = BASE / ".venv"
    lock = "test" if with_tests else "run"
    if not is_installed(venv, lock):
        if not is_whole(venv):
            make_venv(venv)
        install(venv, lock)
    if Path(sys.prefix).resolve() != venv.resolve():
        restart(venv, argv)


def python_in(venv: Path) -> Path:
    return venv / ("Scripts/python.exe" if WINDOWS else "bin/python")


def lock_file(lock: str) -> Path:
    return BASE / ".locks" / f"{lock}.txt"


def is_installed(venv: Path, lock: str) -> bool:
    """Whether this lock, or the larger one for tests, is installed as it stands now."""
    return python_in(venv).exists() and any(
        stamp(venv, name).exists() and stamp(venv, name).read_text() == fingerprint(name)
        for name in {lock, "test"}
    )


def stamp(venv: Path, lock: str) -> Path:
    return venv / f".installed-{lock}"


def fingerprint(lock: str) -> str:
    return hashlib.sha256(lock_file(lock).read_bytes()).hexdigest()


def is_whole(venv: Path) -> bool:
    """Whether the folder holds a virtual environment that was finished and still starts."""
    if not python_in(venv).exists():
        return False
    asked = [str(python_in(venv)), "-c", "import pip"]
    return subprocess.run(asked, capture_output=True, check=False).returncode == 0


def make_venv(venv: Path) -> None:
    if find_spec("venv") is None or find_spec("ensurepip") is None:
        raise SetUpTrouble(
            "This Python lacks its venv module, which keeps the studio's packages apart.\n"
            "On Debian or Ubuntu: sudo apt install python3-venv"
        )
    if venv.exists() and not (venv / "pyvenv.cfg").exists() and any(venv.iterdir()):
        raise SetUpTrouble(f"{venv} holds something else. Move it away and start again.")
    say("First start: setting up (this happens once) …")
    made = subprocess.run(
        [sys.executable, "-m", "venv", "--clear", str(venv)],
        capture_output=True,
        text=True,
        check=False,
    )
    if made.returncode:
        raise SetUpTrouble(explain_venv(venv, made.stdout + made.stderr))


def explain_venv(venv: Path, output: str) -> str:
    if "ensurepip" in output:
        return (
            "This Python cannot set up packages (ensurepip is missing).\n"
            "On Debian or Ubuntu: sudo apt install python3-venv"
        )
    if "Permission denied" in output or "Read-only" in output:
        return f"The folder {venv.parent} cannot be written. Copy the program where you may write."
    return f"The folder {venv} could not be made:\n{last_lines(output)}"


def install(venv: Path, lock: str) -> None:
    """Install one lock, checking every hash; pip's own output is kept back unless it fails."""
    say(f"Installing the {'test ' if lock == 'test' else ''}packages …")
    started = time.monotonic()
    done = subprocess.run(
        [str(python_in(venv)), "-m", "pip", "install", "--require-hashes", "--no-input",
         "--disable-pip-version-check", "--only-binary", ":all:", "-r", str(lock_file(lock))],
        capture_output=True,
        text=True,
        check=False,
    )  # fmt: skip
    if done.returncode:
        raise SetUpTrouble(explain_pip(done.stdout + done.stderr))
    stamp(venv, lock).write_text(fingerprint(lock))
    say(f"Installed in {time.monotonic() - started:.0f} s.")


def explain_pip(output: str) -> str:
    """One sentence for what usually goes wrong, else pip's own last lines."""
    if any(sign in output for sign in OFFLINE_SIGNS):
        return (
            "The packages could not be fetched: no network, or the package index does not answer. "
            "Connect once and start again; afterwards the program needs none."
        )
    unfit = re.search(r"No matching distribution found for (\S+)", output)
    if unfit:
        python = sys.version.split()[0]
        return f"{unfit[1]} is not made for Python {python} on this system. Try another Python."
    if "No space left" in output:
        return "The disk is full. The packages need 250 MB."
    if "DO NOT MATCH THE HASHES" in output:
        return "A package differs from the one this program was tested with. Nothing was installed."
    if "Permission denied" in output:
        return f"The folder {BASE / '.venv'} cannot be written. Give it back to your account."
    return f"The packages could not be installed:\n{last_lines(output)}"


def last_lines(output: str) -> str:
    return "\n".join(line for line in output.strip().splitlines()[-12:])


def restart(venv: Path, argv: list[str]) -> None:
    """Run the same command with the Python of .venv, in place of this process where possible."""
    if os.environ.get("STUDIO_RESTARTED") == str(os.getpid()):
        raise SetUpTrouble(
            f"{python_in(venv)} does not use {venv}. Remove that folder, start again."
        )
    os.environ["STUDIO_RESTARTED"] = str(os.getpid())
    if sys.platform == "darwin":
        let_mac_find_pango()
    command = [str(python_in(venv)), str(BASE / "manage.py"), *argv[1:]]
    if WINDOWS:
        sys.exit(subprocess.call(command))
    os.execv(command[0], command)


def let_mac_find_pango() -> None:
    """Homebrew's folder is not searched by default; the variable counts only at process start."""
    known = os.environ.get("DYLD_FALLBACK_LIBRARY_PATH", "")
    if PANGO_ON_MAC not in known.split(":"):
        os.environ["DYLD_FALLBACK_LIBRARY_PATH"] = f"{PANGO_ON_MAC}:{known}".rstrip(":")


def say(line: str) -> None:
    print(line, flush=True)
