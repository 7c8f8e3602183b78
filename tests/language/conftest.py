"""Marisol's studio as it speaks German."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.test import Client

if TYPE_CHECKING:
    from studio.models import Studio


@pytest.fixture
def german_studio(studio: Studio) -> Studio:
    studio.locale = "de"
    studio.save()
    return studio


@pytest.fixture
def german(signed_in: Client, german_studio: Studio) -> Client:
    """Marisol signed in to it."""
    return signed_in
