"""QR codes of a printed page as an independent reader (ZXing) sees them."""

from __future__ import annotations

import io
import shutil
import subprocess

import pytest


def read_codes(pdf: bytes, page: int = 1) -> list[str]:
    import zxingcpp
    from PIL import Image

    if not shutil.which("pdftoppm"):
        pytest.skip("No pdftoppm found. On Debian: sudo apt install poppler-utils")
    numbers = ["-f", str(page), "-l", str(page)]
    command = ["pdftoppm", "-r", "150", "-png", "-singlefile", *numbers, "-"]
    done = subprocess.run(command, input=pdf, stdout=subprocess.PIPE, check=True)
    return [code.text for code in zxingcpp.read_barcodes(Image.open(io.BytesIO(done.stdout)))]
