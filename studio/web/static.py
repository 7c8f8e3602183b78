"""Static files, served by the program and cached for good when their address has a version."""

import hashlib
from functools import lru_cache
from pathlib import Path

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import StaticFilesStorage
from django.http import HttpRequest, HttpResponseBase
from whitenoise.middleware import WhiteNoiseMiddleware
from whitenoise.responders import StaticFile

FOR_GOOD = "max-age=31536000, public, immutable"


@lru_cache(maxsize=2048)
def _digest(path: str, changed_ns: int) -> str:
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()[:12]


class VersionedStaticFiles(StaticFilesStorage):
    """Adds `?v=<start of SHA-256>` to each address, so a changed file is fetched anew."""

    def url(self, name: str | None, force: bool = False) -> str:
        address = super().url(name)
        found = finders.find(name) if name else None
        if not found:
            return address
        return f"{address}?v={_digest(found, Path(found).stat().st_mtime_ns)}"


class StaticFilesMiddleware(WhiteNoiseMiddleware):  # type: ignore[misc]  # has no types
    @staticmethod
    def serve(static_file: StaticFile, request: HttpRequest) -> HttpResponseBase:
        response: HttpResponseBase = WhiteNoiseMiddleware.serve(static_file, request)
        if "v" in request.GET:
            response["Cache-Control"] = FOR_GOOD
        return response
