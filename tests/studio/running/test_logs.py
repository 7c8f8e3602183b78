"""A log line says where, never whom."""

import logging
import sys

from studio.running.logs import PrivateFormatter


def formatted(message: str, *arguments: object, failed: bool = False) -> str:
    record = logging.LogRecord("studio", logging.ERROR, "", 0, message, arguments, None)
    if failed:
        record.exc_info = sys.exc_info()
    return PrivateFormatter().format(record)


def test_the_text_of_an_exception_is_left_out_and_its_place_kept() -> None:
    child = "Imani"
    try:
        raise ValueError(f"{child} already exists")
    except ValueError:
        line = formatted("Internal Server Error: %s", "/students/7/", failed=True)
    assert "Imani already" not in line
    assert line.splitlines()[-1] == "ValueError"
    assert "test_logs.py" in line
    assert "/students/7/" in line


def test_the_secret_of_a_private_link_is_left_out() -> None:
    line = formatted("Internal Server Error: %s", "/h/MjGbvweRaTG3TSvei5lMX__easrhNFd6/log/")
    assert line.endswith("Internal Server Error: /h/…/log/")
    assert "MjGbvwe" not in line
