"""Well packed workbooks and lists with hostile insides: every answer is one of ours, in bounds.

pytest tests/studio/web/test_fuzz_workbooks.py --hypothesis-profile=long
"""

from __future__ import annotations

import sys
import time
from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import transaction
from django.test import Client
from django.urls import reverse
from hypothesis import event, given
from hypothesis import strategies as st

from tests.studio.web.test_fuzz import ANSWERED, each_example
from tests.studio.web.workbooks import lists, workbooks

if TYPE_CHECKING:
    from studio.models import Studio

MOST_SECONDS, MOST_MEGABYTES = 30, 700  # seconds of the processor


def memory() -> float:
    """Megabytes this process had at most so far; 0 where that cannot be asked."""
    if sys.platform == "win32":
        return 0
    import resource

    unit = 1024**2 if sys.platform == "darwin" else 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / unit


# openpyxl warns of odd cells and goes on, as it does outside of tests.
@pytest.mark.filterwarnings("ignore::UserWarning:openpyxl")
@pytest.mark.django_db
@each_example
@given(content=st.one_of(workbooks(), workbooks(), lists()))
def test_no_list_makes_a_page_stumble(signed_in: Client, studio: Studio, content: bytes) -> None:
    """Looked at, and brought in where it can be."""
    before, begun = memory(), time.process_time()
    with transaction.atomic():
        file = SimpleUploadedFile("list.xlsx", content)
        answer = signed_in.post(reverse("roster:read"), {"file": file})
        assert answer.status_code in ANSWERED
        event(f"read: {answer.status_code}")
        if answer.status_code == 200:
            taken = signed_in.post(reverse("roster:take"), decided(answer))
            assert taken.status_code in ANSWERED
            event(f"brought in: {taken.status_code}")
        transaction.set_rollback(True)
    assert time.process_time() - begun < MOST_SECONDS
    assert memory() - before < MOST_MEGABYTES


def decided(answer: Any) -> dict[str, Any]:
    """What the page sends when its proposal is taken as it is."""
    form, plan = answer.context["form"], answer.context["plan"]
    seen = plan.digest if plan else ""
    return {**form.initial, "held": answer.context["held"], "seen": seen}
