"""Static files, served by the program, packed, and cached for good at a versioned address."""

import gzip
import hashlib
import re
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import StaticFilesStorage
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.utils.cache import patch_vary_headers
from whitenoise.middleware import WhiteNoiseMiddleware
from whitenoise.responders import StaticFile

# no words: headers
FOR_GOOD = "max-age=31536000, public, immutable"
PACKABLE = (".css", ".js", ".svg")  # fonts are packed already
DOCUMENT = ".svg"  # the only kind of file here that a browser may open by itself
_GZIP = re.compile(r"\bgzip\b")
# Comments and indents of our own files, which are for their readers and no phone's line. In
# scripts only comments that fill their lines; no text of several lines stands in those.
_FOR_READERS = {
    ".css": re.compile(rb"/\*.*?\*/|^[ \t]+", re.DOTALL | re.MULTILINE),
    ".js": re.compile(rb"^[ \t]*//.*\n|^[ \t]+", re.MULTILINE),
}
_NOTHING = re.compile(rb"(?!)")


@lru_cache(maxsize=2048)
def _digest(path: str, changed_ns: int) -> str:
    return hashlib.sha256(Path(path).read_bytes()).hexdigest()[:12]


@lru_cache(maxsize=256)
def _packed(path: str, changed_ns: int) -> bytes:
    content = Path(path).read_bytes()
    if "vendor" not in Path(path).parts:
        content = _FOR_READERS.get(Path(path).suffix, _NOTHING).sub(b"", content)
    return gzip.compress(content, compresslevel=9, mtime=0)


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
        path, headers = static_file.get_path_and_headers(request.META)
        packable = path.endswith(PACKABLE)
        response: HttpResponseBase
        if packable and wants_it_packed(static_file, request):
            response = packed(path, headers, request)
        else:
            response = WhiteNoiseMiddleware.serve(static_file, request)
        if packable:
            patch_vary_headers(response, ["Accept-Encoding"])
        if "v" in request.GET:
            response["Cache-Control"] = FOR_GOOD
        if not path.endswith(DOCUMENT):
            response._csp_exempt = True  # type: ignore[attr-defined]  # as csp_exempt of a view
        return response


def wants_it_packed(static_file: StaticFile, request: HttpRequest) -> bool:
    """Whether the whole file is asked for, anew, by a browser that can unpack it."""
    return (
        request.method in {"GET", "HEAD"}
        and _GZIP.search(request.headers.get("Accept-Encoding", "")) is not None
        # no words: a header
        and "Range" not in request.headers
        and not static_file.is_not_modified(request.META)
    )


def packed(path: str, headers: Iterable[tuple[str, str]], request: HttpRequest) -> HttpResponse:
    """The file by gzip, with the headers of the plain one but those that speak of its bytes."""
    content = _packed(path, Path(path).stat().st_mtime_ns)
    response = HttpResponse(content if request.method == "GET" else b"")
    for name, value in headers:
        if name not in {"ETag", "Content-Length"}:
            response[name] = value
    response["Content-Encoding"], response["Content-Length"] = "gzip", str(len(content))
    return response
