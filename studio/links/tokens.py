"""Secrets of private links: made, shown again, found, revoked. Works for every PrivateLink."""

from __future__ import annotations

import base64
import datetime as dt
import hashlib
import hmac
import uuid
from typing import TypeVar

from django.db.models import Q
from django.utils.crypto import salted_hmac

from studio.links.models import PrivateLink

# no words: a name
Link = TypeVar("Link", bound=PrivateLink)

TOKEN_BITS = 192
_SALT = "studio.links.tokens"
_LONGEST = 128  # nobody's token; anything longer is not even hashed
# How exactly the last use is told; a row is not written for every request of a calendar program.
USE_STEP = dt.timedelta(hours=1)


def issue(link: PrivateLink) -> str:
    """Give the unsaved or renewed link a fresh secret, save it and return the secret.

    The earlier secret stops working with this.
    """
    link.seed = uuid.uuid4()
    token = secret_of(link)
    link.token_hash = hashed(token)
    link.revoked = None
    link.save()
    return token


def shown_again(link: PrivateLink) -> str | None:
    """The secret once more, for a printed code; None when the installation's key has changed."""
    token = secret_of(link)
    return token if hmac.compare_digest(hashed(token), link.token_hash) else None


def find(kind: type[Link], token: str, now: dt.datetime, *with_them: str) -> Link | None:
    """The link this secret opens now; None for a wrong, an expired or a revoked one.

    `with_them` names what is fetched along, such as "family__studio". The look-up goes by the
    hash, so its time tells nothing about the secret.
    """
    if not token or len(token) > _LONGEST:
        return None
    wanted = hashed(token)
    # `objects` is not on the abstract class, so ask the concrete one.
    links = kind._default_manager.select_related(*with_them) if with_them else kind._default_manager
    link = links.filter(
        Q(expires=None) | Q(expires__gt=now), token_hash=wanted, revoked=None
    ).first()
    if link is None or not hmac.compare_digest(link.token_hash, wanted):
        return None
    return link


def used(link: PrivateLink, now: dt.datetime) -> None:
    """Note the use, at most once an hour; one noted by a clock that was ahead gives way."""
    if link.last_used is None or abs(now - link.last_used) >= USE_STEP:
        link.last_used = now
        link.save(update_fields=["last_used"])


def revoke(link: PrivateLink, now: dt.datetime) -> None:
    """From now on the secret opens nothing; the first revocation's time stays."""
    if link.revoked is None:
        link.revoked = now
        link.save(update_fields=["revoked"])


def hashed(token: str) -> str:
    """SHA-256 of the secret, as kept in the database. The secret is random, so no salt is due."""
    return hashlib.sha256(token.encode()).hexdigest()


def secret_of(link: PrivateLink) -> str:
    """Made from the installation's key and the seed; not kept anywhere."""
    digest = salted_hmac(_SALT, link.seed.hex, algorithm="sha256").digest()
    return base64.urlsafe_b64encode(digest[: TOKEN_BITS // 8]).decode().rstrip("=")
