"""How often an unproven visitor may try: a bucket of tries that refills evenly."""

from dataclasses import dataclass
from math import ceil


@dataclass(frozen=True)
class Limit:
    """`tries` at once, and the same number again over `seconds`."""

    tries: int
    seconds: int


# Guessing from one place, and guessing one account from many places.
BY_ADDRESS = Limit(tries=20, seconds=15 * 60)
BY_ACCOUNT = Limit(tries=10, seconds=15 * 60)


def refilled(left: float, seconds_since: float, limit: Limit) -> float:
    """Tries left after `seconds_since`; a clock set back refills nothing."""
    return min(float(limit.tries), left + max(0.0, seconds_since) * limit.tries / limit.seconds)


def wait_seconds(left: float, limit: Limit) -> int:
    """Whole seconds until one try is there; 0 when there is one."""
    return 0 if left >= 1 else ceil((1 - left) * limit.seconds / limit.tries)
