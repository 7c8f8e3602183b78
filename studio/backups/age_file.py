"""Locks and opens one file in the age format, as a process of its own.

    python -m studio.backups.age_file lock SOURCE TARGET    the passphrase on standard input

A process of its own because the library keeps the interpreter to itself for the second that
making a key from a passphrase takes, and because its memory is given back at once. The format is
age version 1 with a passphrase (scrypt, ChaCha20-Poly1305 in pieces), https://age-encryption.org/v1,
as the `age` and `rage` programs read and write it. Imports neither Django nor the studio.
"""

import os
import sys
from pathlib import Path

import pyrage

DONE, WRONG_PASSPHRASE, DAMAGED = 0, 3, 4


def main(what: str, source: Path, target: Path, passphrase: str) -> int:
    content = source.read_bytes()
    if what == "lock":
        return _write(target, pyrage.passphrase.encrypt(content, passphrase))
    try:
        return _write(target, pyrage.passphrase.decrypt(content, passphrase))
    except pyrage.DecryptError as error:
        # no words: the library's own
        return WRONG_PASSPHRASE if str(error) == "Decryption failed" else DAMAGED


def _write(target: Path, content: bytes) -> int:
    descriptor = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(content)
    return DONE


if __name__ == "__main__":
    typed = sys.stdin.buffer.read().decode()
    sys.exit(main(sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]), typed))
