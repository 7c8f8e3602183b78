"""The folder, the term and the job are those of the rules' tests."""

from tests.practice.printing.conftest import job, own_folder, term

__all__ = ["job", "own_folder", "term"]
