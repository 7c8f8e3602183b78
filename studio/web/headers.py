"""Response headers beyond those of Django and django-csp."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

# A browser feature is off unless a page needs it; play-along and timer need none of these.
REFUSED_FEATURES = (
    "accelerometer",
    "camera",
    "display-capture",
    "geolocation",
    "gyroscope",
    "hid",
    "magnetometer",
    "microphone",
    "midi",
    "payment",
    "publickey-credentials-get",
    "serial",
    "usb",
)
# These are never a document, so a policy for documents would only be weight on a phone's line.
NO_DOCUMENTS = ("text/css", "text/javascript", "font/")
PERMISSIONS_POLICY = ", ".join(f"{feature}=()" for feature in REFUSED_FEATURES)


class PrivacyHeadersMiddleware:
    """Refuses browser features, embedding by other sites, copies in shared caches and indexes."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if response.headers.get("Content-Type", "").startswith(NO_DOCUMENTS):
            for name in ("Cross-Origin-Opener-Policy", "Referrer-Policy"):
                del response.headers[name]
        else:
            response.headers.setdefault("Permissions-Policy", PERMISSIONS_POLICY)
            response.headers.setdefault("X-Robots-Tag", "noindex")
        response.headers.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        # no words: a header
        response.headers.setdefault("Cache-Control", "private, no-cache")
        return response
