"""A passphrase from whoever sits at the terminal, or from a pipe, one a line."""

import sys
from getpass import getpass

from studio.backups.trouble import BackupTrouble


def passphrase(question: str = "Passphrase: ") -> str:
    if sys.stdin.isatty():
        return getpass(question)
    return sys.stdin.readline().rstrip("\n")


def passphrase_twice() -> str:
    typed = passphrase()
    # no words: for the terminal
    if passphrase("The same once more: ") != typed:
        raise BackupTrouble("The two differ. No backup was made.")  # no words: for the terminal
    return typed
