"""Sign-in addresses for the person at the terminal: one use, a few minutes, this computer only."""

import hashlib
import secrets
from datetime import datetime, timedelta

from django.contrib.auth.models import User
from django.db import transaction
from django.db.models import Q

from studio import clock
from studio.access.models import SignInTicket

LIFETIME = timedelta(minutes=15)


def issue(owner: User) -> str:
    """A fresh token of 256 bits; earlier ones of the same owner stop working."""
    token = secrets.token_urlsafe(32)
    with transaction.atomic():
        SignInTicket.objects.filter(owner=owner).delete()
        SignInTicket.objects.create(
            owner=owner, token_hash=_hash(token), expires=clock.now() + LIFETIME
        )
    return token


def redeem(token: str) -> User | None:
    """The ticket's owner, once; None for a wrong, used or late token."""
    now = clock.now()
    with transaction.atomic():
        ticket = (
            SignInTicket.objects.select_for_update()
            .select_related("owner")
            .filter(_open_at(now), token_hash=_hash(token), owner__is_active=True)
            .first()
        )
        if ticket is None:
            return None
        ticket.delete()
    return ticket.owner


def forget_old() -> None:
    SignInTicket.objects.exclude(_open_at(clock.now())).delete()


def _open_at(now: datetime) -> Q:
    """Neither late, nor made while the clock was far ahead: that one would open for too long."""
    return Q(expires__gt=now, expires__lte=now + 2 * LIFETIME)


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
