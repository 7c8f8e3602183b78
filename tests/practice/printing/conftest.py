from pathlib import Path

import pytest
from pytest_django import Settings


@pytest.fixture(autouse=True)
def _own_folder(settings: Settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path / "data"
