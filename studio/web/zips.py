"""Zips from outside: packed in the two ways our formats use, or not read."""

import zipfile

METHODS = frozenset({zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED})


def check_methods(archive: zipfile.ZipFile) -> None:
    """Raises BadZipFile for others, whose unpackers fail with errors of their own."""
    for entry in archive.infolist():
        if entry.compress_type not in METHODS:
            # no words: whoever catches it has its own
            raise zipfile.BadZipFile(f"Method {entry.compress_type} is not read.")
