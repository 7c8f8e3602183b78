"""`manage.py test`: one verdict over all checks, on data of its own."""

from __future__ import annotations

import pytest

from studio.running import checks


def test_one_failed_check_fails_the_whole_and_is_named(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    trial: list[checks.Check] = [("good", ["platform"], {}), ("bad", ["no_such_module"], {})]
    monkeypatch.setattr(checks, "CHECKS", trial)
    assert checks.run_all(["--version"]) == 1
    said, told = capfd.readouterr()
    assert said.splitlines()[0].split()[-1] == "passed"
    assert "No module named no_such_module" in said
    assert told.endswith("Failed: bad.\n")


def test_all_passing_is_a_pass(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(checks, "CHECKS", [("good", ["platform"], {})])
    assert checks.run_all(["--version"]) == 0
    assert "Failed" not in capfd.readouterr().err


def test_a_failed_test_run_fails_the_whole(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(checks, "CHECKS", [])
    assert checks.run_all(["--no-such-option"]) == 1
    assert capfd.readouterr().err.endswith("Failed: pytest.\n")


def test_the_developers_own_studio_stays_untouched(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("STUDIO_DATABASE_URL", "postgres:///her_real_studio")
    monkeypatch.setenv("STUDIO_DATA", "/her/real/folder")
    environment = checks.clean_environment("/tmp/checks")
    assert "STUDIO_DATABASE_URL" not in environment
    assert environment["STUDIO_DATA"] == "/tmp/checks"


def test_every_kind_of_check_is_among_them() -> None:
    names = {" ".join(command) for _, command, _ in checks.CHECKS}
    assert {"ruff check --quiet .", "mypy --no-error-summary"} <= names
    assert any("makemigrations --check" in name for name in names)
    assert any("check --deploy" in name for name in names)
