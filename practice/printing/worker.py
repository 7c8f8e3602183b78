"""The thread that works jobs off: one in every serving process, begun with its first request."""

from __future__ import annotations

import logging
import os
import secrets
import socket
import threading

from django.conf import settings
from django.core.signals import request_started
from django.db import DatabaseError, connections

from practice.printing import work
from practice.printing.models import PrintJob

SOON, LATER = 3.0, 3600.0  # seconds between looks: while a job waits for another process, else
log = logging.getLogger(__name__)
_wake = threading.Event()
_begun: dict[int, threading.Thread] = {}  # by process, because a server may fork


def begin_with_first_request() -> None:
    if settings.PRINT_BY_ITSELF:
        request_started.connect(_first_request, dispatch_uid="practice.printing")


def _first_request(**_: object) -> None:
    request_started.disconnect(dispatch_uid="practice.printing")
    wake()


def wake() -> None:
    """There is something to do, or may be."""
    if not settings.PRINT_BY_ITSELF:
        return
    if os.getpid() not in _begun:
        _begun.clear()
        thread = threading.Thread(target=_run, name="printing", daemon=True)
        _begun[os.getpid()] = thread
        thread.start()
    _wake.set()


def _run() -> None:
    me = f"{socket.gethostname()[:20]} {os.getpid()} {secrets.token_hex(4)}"
    while True:
        _wake.clear()
        pause = LATER
        try:
            look(me)
            pause = SOON if PrintJob.objects.unfinished().exists() else LATER
        except DatabaseError:  # being restored, or not there for a moment
            # no words: for the log
            log.warning("Printing could not reach the database.")
            pause = SOON
        except Exception:
            # no words: for the log
            log.exception("Printing stopped at a job.")
            pause = SOON
        finally:
            connections.close_all()
        _wake.wait(pause)


def look(me: str) -> None:
    """Works off what there is, one job after the other, and clears away what is over."""
    while (job := work.claim(me)) is not None:
        work.work_off(job, me)
    work.sweep()
