from pathlib import Path

import pytest
from pytest_django import Settings

from practice.models import PrintJob
from practice.printing import ask
from studio.models import Studio, Term
from tests.practice.printing.material import a_term, given_reports


@pytest.fixture(autouse=True)
def own_folder(settings: Settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path / "data"


@pytest.fixture
def term(studio: Studio) -> Term:
    return a_term(studio)


@pytest.fixture
def job(term: Term) -> PrintJob:
    """Three reports of the term, asked for."""
    given_reports(term)
    return ask.print_reports(term)
