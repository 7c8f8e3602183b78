"""The folder with the secret key."""

from __future__ import annotations

import multiprocessing
import os
import stat
from pathlib import Path

import pytest

from studio.running import data_folder


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_the_secret_key_is_made_once_and_read_by_its_owner_alone(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    key = data_folder.secret_key(folder)
    assert len(key) >= 64
    assert data_folder.secret_key(folder) == key
    assert mode(folder) == 0o700
    assert mode(folder / "secret-key") == 0o600
    assert [path.name for path in folder.iterdir()] == ["secret-key"]


def test_two_installations_have_different_keys(tmp_path: Path) -> None:
    assert data_folder.secret_key(tmp_path / "a") != data_folder.secret_key(tmp_path / "b")


def test_processes_that_start_together_agree_on_one_key(tmp_path: Path) -> None:
    with multiprocessing.get_context("spawn").Pool(4) as pool:
        keys = pool.map(data_folder.secret_key, [tmp_path / "data"] * 8)
    assert len(set(keys)) == 1


@pytest.mark.parametrize("blocked", ["file", "missing"])
def test_a_folder_that_cannot_be_made_is_told_with_a_way_out(tmp_path: Path, blocked: str) -> None:
    """A file in the way, and a place where nothing can be made, also for an administrator."""
    in_the_way = tmp_path / "file"
    in_the_way.write_text("")
    folder = in_the_way / "data" if blocked == "file" else Path("/proc/nowhere/data")
    if blocked == "missing" and not Path("/proc/self").exists():
        pytest.skip("This system has no /proc")
    with pytest.raises(data_folder.FolderTrouble) as caught:
        data_folder.secret_key(folder)
    assert str(folder) in str(caught.value)
    assert "STUDIO_DATA=" in str(caught.value)


def test_a_private_file_stays_private_when_written_again(tmp_path: Path) -> None:
    path = tmp_path / "note.txt"
    path.write_text("old")
    path.chmod(0o644)
    data_folder.write_private(path, "new")
    assert (path.read_text(), mode(path)) == ("new", 0o600)
    assert os.listdir(tmp_path) == ["note.txt"]
