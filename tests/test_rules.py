"""The rules of the code base, checked by reading it: who may import whom, what pure code may touch,
where the clock is read, how long things may be. Each test lists every place that breaks its rule.
"""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

BASE = Path(__file__).resolve().parent.parent
SOURCES = sorted(
    path
    for app in ("studio", "practice")
    for path in (BASE / app).rglob("*.py")
    if "migrations" not in path.parts
)
TESTS = sorted((BASE / "tests").rglob("*.py"))
TEMPLATES = sorted((BASE / "templates").rglob("*.html"))
TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "manage.py", "pyproject.toml"),
    *("studio", "practice", "templates", "static", "tests"),
}

# Pure packages, and the other pure packages each may use.
PURE: dict[str, set[str]] = {
    "studio.language": set(),
    "studio.dates": {"studio.language"},
    "practice.music": {"studio.language"},
    "practice.planning": {"studio.dates", "studio.language", "practice.music"},
    "practice.figures": {"studio.dates", "studio.language"},
    "practice.programme": {"studio.language"},
}
# Of the standard library, what reaches beyond the arguments of a function.
REACHING_OUT = {
    *("asyncio", "http", "io", "logging", "multiprocessing", "os", "pathlib", "secrets"),
    *("shutil", "socket", "sqlite3", "subprocess", "sys", "tempfile", "threading", "time"),
    "urllib",
}
REACHING_CALLS = {"open", "print", "input", "eval", "exec", "__import__"}
# The areas of studio, each of which imports only those beside and before it.
STUDIO_LAYERS = [
    {"language"},
    {"dates", "clock"},
    {"access", "record", "running", "web"},
    {"people", "terms"},
    {"links", "lessons", "backups"},
]
CLOCKS = {"datetime", "date", "timezone", "time"}
READINGS = {"now", "utcnow", "today", "localtime", "localdate", "time", "time_ns"}
MOST_LINES, MOST_FUNCTION_LINES = 300, 40
# Longer than that, each for its reason.
LONGER: dict[str, str] = {}
# For the printer, where no content policy applies: sizes in mm stand at the picture.
PRINTED = {"base_print.html", "sheets", "reports", "scalebook"}


def name_of(path: Path) -> str:
    return path.relative_to(BASE).as_posix()


def module_of(path: Path) -> str:
    parts = path.relative_to(BASE).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def nodes_of(path: Path) -> list[ast.AST]:
    return list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))


def imports_of(path: Path, nodes: list[ast.AST] | None = None) -> Iterator[str]:
    """Each module a file imports, absolute, also inside functions; names from it count too."""
    package = module_of(path).split(".")
    if path.name != "__init__.py":
        package = package[:-1]
    for node in nodes_of(path) if nodes is None else nodes:
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            start = package[: len(package) - node.level + 1] if node.level else []
            base = ".".join([*start, *([node.module] if node.module else [])])
            yield from (f"{base}.{alias.name}" for alias in node.names)


def imports_for_types(path: Path) -> set[str]:
    """What stands under `if TYPE_CHECKING:` and is never loaded."""
    guarded = [
        inner
        for node in nodes_of(path)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
        for child in node.body
        for inner in ast.walk(child)
    ]
    return set(imports_of(path, guarded))


def within(module: str, package: str) -> bool:
    return module == package or module.startswith(f"{package}.")


def test_studio_never_imports_practice() -> None:
    assert [
        f"{name_of(path)}: {name}"
        for path in SOURCES
        if path.is_relative_to(BASE / "studio")
        for name in imports_of(path)
        if within(name, "practice")
    ] == []


def test_areas_of_studio_import_downwards_only() -> None:
    level = {area: n for n, areas in enumerate(STUDIO_LAYERS) for area in areas}
    found = []
    for path in SOURCES:
        app, area = path.relative_to(BASE).with_suffix("").parts[:2]
        if app != "studio" or area not in level:
            continue
        for name in set(imports_of(path)) - imports_for_types(path):
            other = name.split(".")[1] if within(name, "studio") and "." in name else ""
            if level.get(other, -1) > level[area]:
                found.append(f"{name_of(path)}: {name}")
    assert found == []


def test_pure_code_touches_nothing_but_its_arguments() -> None:
    found = []
    for path in SOURCES:
        package = next((name for name in PURE if within(module_of(path), name)), None)
        if package is None:
            continue
        for name in imports_of(path):
            root = name.split(".")[0]
            own = any(within(name, allowed) for allowed in (package, *PURE[package]))
            if not own and (root in REACHING_OUT or root not in sys.stdlib_module_names):
                found.append(f"{name_of(path)} imports {name}")
        found += [
            f"{name_of(path)}:{node.lineno} calls {ast.unparse(node.func)}"
            for node in nodes_of(path)
            if isinstance(node, ast.Call) and ast.unparse(node.func) in REACHING_CALLS
        ]
    assert found == []


def test_only_the_clock_reads_the_time() -> None:
    assert [
        f"{name_of(path)}:{node.lineno} {ast.unparse(node)}"
        for path in SOURCES
        if name_of(path) != "studio/clock.py"
        for node in nodes_of(path)
        if isinstance(node, ast.Attribute) and node.attr in READINGS
        if ast.unparse(node.value).split(".")[-1] in CLOCKS
        # `datetime.time` is a class; `time.time` reads.
        if (ast.unparse(node.value), node.attr) != ("datetime", "time")
    ] == []


def test_no_code_draws_from_a_random_number_shared_by_all() -> None:
    assert [
        f"{name_of(path)}:{node.lineno} {ast.unparse(node)}"
        for path in SOURCES
        for node in nodes_of(path)
        if isinstance(node, ast.Attribute) and ast.unparse(node.value) == "random"
        if node.attr != "Random"
    ] == []


def test_files_and_functions_stay_short() -> None:
    found = []
    for path in (*SOURCES, *TESTS):
        if name_of(path) in LONGER:
            continue
        lines = len(path.read_text(encoding="utf-8").splitlines())
        if lines > MOST_LINES:
            found.append(f"{name_of(path)} has {lines} lines")
        for node in nodes_of(path):
            if isinstance(node, ast.FunctionDef) and node.end_lineno:
                length = node.end_lineno - node.lineno + 1
                if length > MOST_FUNCTION_LINES:
                    found.append(f"{name_of(path)}: {node.name} has {length} lines")
    assert found == []


def test_every_reason_for_length_is_still_needed() -> None:
    assert [name for name in LONGER if not (BASE / name).exists()] == []


def test_every_folder_of_tests_is_found() -> None:
    """Without __init__.py, two files of one name hide each other."""
    folders = {path.parent for path in TESTS}
    assert [name_of(folder) for folder in folders if not (folder / "__init__.py").exists()] == []


def test_every_test_is_collected_and_has_a_name_of_its_own() -> None:
    """A test in a file that pytest does not read, or replaced by one further down, never runs."""
    found = []
    for path in TESTS:
        module = ast.parse(path.read_text(encoding="utf-8"))
        names = [node.name for node in module.body if isinstance(node, ast.FunctionDef)]
        tests = [name for name in names if name.startswith("test_")]
        by_name = path.name.startswith("test_") or "bench" in path.parts  # run by hand
        if len(tests) != len(set(tests)) or (tests and not by_name):
            found.append(name_of(path))
    assert found == []


# Never served as a page: it is saved to a folder, and says its own policy in its head.
IN_ONE_FILE = {"templates/home/take_home.html", "templates/export/family_page.html"}


def test_templates_obey_the_content_policy() -> None:
    """No inline script or style, nothing evaluated, nothing from outside, no clock of their own."""
    patterns = {
        "inline style": r"\sstyle\s*=|<style",
        "inline script": r"<script(?![^>]*\ssrc=)|\son[a-z]+\s*=|hx-on|js:|javascript:",
        "loads from outside": r"""(?:src|href|action)\s*=\s*["']https?://""",
        "own clock": r"{%\s*now\b",
    }
    found = []
    for path in TEMPLATES:
        if name_of(path) in IN_ONE_FILE:
            continue
        text = re.sub(r"{% comment %}.*?{% endcomment %}|{#.*?#}", "", path.read_text(), flags=re.S)
        printed = not PRINTED.isdisjoint(path.relative_to(BASE / "templates").parts)
        found += [
            f"{name_of(path)}: {why}"
            for why, pattern in patterns.items()
            if re.search(pattern, text) and not (printed and why == "inline style")
        ]
    assert found == []


def test_migrations_are_named_by_hand() -> None:
    made = [path for app in ("studio", "practice") for path in (BASE / app).glob("migrations/0*")]
    assert [name_of(path) for path in made if re.search(r"_auto_\d|_and_more$", path.stem)] == []


def tracked() -> list[str]:
    listed = subprocess.run(
        ["git", "ls-files"], cwd=BASE, capture_output=True, text=True, check=False
    )
    return listed.stdout.splitlines()


def test_the_top_level_holds_what_it_should() -> None:
    top = {name.split("/")[0] for name in tracked()}
    assert {name for name in top if not name.startswith(".")} <= TOP_LEVEL


def test_no_file_names_a_package_host_or_a_place_on_one_machine() -> None:
    hosts = ["pypi" + ".org", "python" + "hosted", "registry.npm" + "js", "deb.deb" + "ian"]
    places = ["/work/" + "main", "/work/" + "shared", "/opt/py" + "pi", "../sha" + "red"]
    found = []
    for name in tracked():
        path = BASE / name
        if path.suffix in {".woff2", ".png", ".mxl", ".otf"} or not path.is_file():
            continue
        text = path.read_text(encoding="utf-8", errors="replace")
        found += [f"{name}: {word}" for word in (*hosts, *places) if word in text]
    assert found == []
