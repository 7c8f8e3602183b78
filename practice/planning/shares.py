"""Whole minutes in proportion to weights, by the method of largest remainders."""

from __future__ import annotations

from collections.abc import Sequence


def shares(
    total: int,
    weights: Sequence[int],
    least: Sequence[int] | None = None,
    most: Sequence[int] | None = None,
) -> list[int]:
    """`total` shared out in whole numbers; the shares sum to it exactly.

    Each exact share is a multiple of its weight, the same multiple for all, held between `least`
    and `most`. Whole shares are the exact ones rounded down; what is left goes, one each, to the
    largest remainders, and between equal remainders to the first listed. Without bounds this is
    Hamilton's method of apportionment. Weights are positive. Raises ValueError when the bounds
    cannot hold the total.
    """
    low = list(least) if least is not None else [0] * len(weights)
    high = list(most) if most is not None else [total] * len(weights)
    if not sum(low) <= total <= sum(high):
        raise ValueError(f"{total} does not lie between {sum(low)} and {sum(high)}.")
    result = [0] * len(weights)
    free = list(range(len(weights)))
    while free:
        weight = sum(weights[i] for i in free)
        under = [i for i in free if total * weights[i] < low[i] * weight]
        over = [i for i in free if total * weights[i] > high[i] * weight]
        lack = sum(low[i] * weight - total * weights[i] for i in under)
        excess = sum(total * weights[i] - high[i] * weight for i in over)
        # Only the side that weighs more is certain to stay at its bound.
        bound = (under if lack >= excess else []) + (over if excess >= lack else [])
        if not bound:
            break
        for i in bound:
            result[i] = low[i] if i in under else high[i]
            total -= result[i]
        free = [i for i in free if i not in bound]
    if free:
        _by_remainder(total, weights, free, result)
    return result


def _by_remainder(total: int, weights: Sequence[int], free: list[int], result: list[int]) -> None:
    weight = sum(weights[i] for i in free)
    for i in free:
        result[i] = total * weights[i] // weight
    left = total - sum(result[i] for i in free)
    for i in sorted(free, key=lambda i: -(total * weights[i] % weight))[:left]:
        result[i] += 1
