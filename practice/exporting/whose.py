"""Look-ups that lead from a row to its family and its studio."""

from __future__ import annotations

from typing import TypedDict


class Whose(TypedDict):
    belongs: str
    family: str


OF_STUDENT: Whose = {"belongs": "student__family__studio", "family": "student__family"}
OF_PLAN = "plan__assignment__student__family"
OF_LESSON: Whose = {
    "belongs": "lesson__student__family__studio",
    "family": "lesson__student__family",
}
