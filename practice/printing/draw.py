"""A process that draws pages, one order a line, until its input ends.

    python -m practice.printing.draw

Beside the server, so that a page being drawn takes no turn from somebody who clicks, a second
processor helps, and letters that bring Pango down bring nothing else down.
"""

from __future__ import annotations

import json
import os
import sys

import django


def main() -> None:
    django.setup()
    from practice.printing.orders import Order, carried_out

    if hasattr(os, "nice"):
        os.nice(5)
    answers = sys.stdout.buffer
    sys.stdout = sys.stderr  # what a library prints must not stand between the answers
    for line in sys.stdin.buffer:
        answers.write(carried_out(Order(**json.loads(line))).line())
        answers.flush()


if __name__ == "__main__":
    main()
