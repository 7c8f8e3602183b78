"""Sessions in the database, found by a hash: a copy of the table signs nobody in."""

from __future__ import annotations

import hashlib
from typing import Any

from django.contrib.sessions.backends import db
from django.contrib.sessions.base_session import AbstractBaseSession
from django.contrib.sessions.models import Session
from django.db.models.functions import Now

LENGTH = 40  # what the column holds: 160 bits of the 256


def kept_as(key: str) -> str:
    """What stands in the table for the key in the cookie. The key is random, so no salt is due."""
    return hashlib.sha256(key.encode()).hexdigest()[:LENGTH]


class SessionStore(db.SessionStore):
    """As Django's, but the table never holds the key itself."""

    def _get_session_from_db(self) -> Session | None:
        found = Session.objects.filter(
            session_key=kept_as(self.session_key or ""), expire_date__gt=Now()
        ).first()
        if found is None:
            self._session_key = None
        return found

    def exists(self, session_key: str) -> bool:
        return super().exists(kept_as(session_key))

    def create_model_instance(self, data: dict[str, Any]) -> AbstractBaseSession:
        made = super().create_model_instance(data)
        made.session_key = kept_as(made.session_key)
        return made

    def delete(self, session_key: str | None = None) -> None:
        key = session_key or self.session_key
        if key:
            super().delete(kept_as(key))
