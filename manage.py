#!/usr/bin/env python3
"""The one command: `python3 manage.py open`. Sets itself up on first use, then runs Django."""

import sys

if sys.version_info < (3, 11):  # noqa: UP036 (this file is what an older Python reads first)
    sys.exit(
        f"The studio manager needs Python 3.11 or newer; this is {sys.version.split()[0]}.\n"
        "Install a newer one and start with it by name, for example: python3.12 manage.py open"
    )

from studio.running.start import main

if __name__ == "__main__":
    sys.exit(main(sys.argv))
