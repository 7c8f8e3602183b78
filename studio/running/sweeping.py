"""What has run out is let go: at each start, and once a day."""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.contrib.sessions.models import Session
from django.dispatch import Signal

from studio import clock
from studio.access import throttle, tickets
from studio.record import noting

# Other apps let go of theirs when it is sent.
swept = Signal()


def sweep() -> None:
    """Throw away what has run out: sessions, tickets, counted tries, old lines of the record."""
    now = clock.now()
    Session.objects.filter(expire_date__lt=now).delete()
    # Begun while the clock was ahead: it ends with those that begin now.
    last = now + timedelta(seconds=settings.SESSION_COOKIE_AGE)
    Session.objects.filter(expire_date__gt=last).update(expire_date=last)
    tickets.forget_old()
    throttle.forget_old()
    noting.forget_old()
    swept.send(sender=None)
