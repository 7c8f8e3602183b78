"""A data folder of a test's own, and a studio with something in it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.factories import (
    AssignmentFactory,
    ItemFactory,
    LessonFactory,
    LogEntryFactory,
    PlanFactory,
)

if TYPE_CHECKING:
    from pytest_django import Settings

    from studio.models import Student


@pytest.fixture
def data_dir(settings: Settings, tmp_path: Path) -> Path:
    settings.DATA_DIR = tmp_path / "data"
    return tmp_path / "data"


@pytest.fixture
def filled(data_dir: Path, student: Student) -> Student:
    """Imani with a lesson to come and a week of which two things were practised."""
    LessonFactory.create(student=student)
    plan = PlanFactory.create(assignment=AssignmentFactory.create(student=student))
    for position in range(2):
        LogEntryFactory.create(item=ItemFactory.create(plan=plan, position=position))
    return student
