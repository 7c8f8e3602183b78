"""The request as views behind the sign-in see it."""

from django.contrib.auth.models import User
from django.http import HttpRequest
from django_htmx.middleware import HtmxDetails

from studio.access.models import Studio


class StudioRequest(HttpRequest):
    """A signed-in teacher's request; `studio` is hers and set by StudioMiddleware."""

    user: User
    studio: Studio
    htmx: HtmxDetails
