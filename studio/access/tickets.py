"""Sign-in addresses for the person at the terminal: one use, a few minutes, this computer only."""

import hashlib
import secrets
from datetime import timedelta

from django.contrib.auth.models import User
from django.db import transaction

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
    with transaction.atomic():
        ticket = (
            SignInTicket.objects.select_for_update()
            .select_related("owner")
            .filter(token_hash=_hash(token), expires__gt=clock.now(), owner__is_active=True)
            .first()
        )
        if ticket is None:
            return None
        ticket.delete()
    return ticket.owner


def forget_old() -> None:
    SignInTicket.objects.filter(expires__lt=clock.now()).delete()


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
