"""A fixed piece of plain Python work. A time divided by its time hardly depends on the machine."""

from __future__ import annotations

from statistics import median
from time import perf_counter

_ROUNDS = 20_000
_TAKES = 7


def yardstick_ms() -> float:
    """Median ms of a walk along a curve by complex arithmetic, the commonest work of a draft."""
    return median(_take() for _ in range(_TAKES))


def _take() -> float:
    start = perf_counter()
    a, b, c, d = 0j, 1 + 2j, 3 - 1j, 4 + 0j
    length, last = 0.0, a
    for n in range(1, _ROUNDS + 1):
        t = n / _ROUNDS
        u = 1 - t
        here = u * u * u * a + 3 * u * u * t * b + 3 * u * t * t * c + t * t * t * d
        length += abs(here - last)
        last = here
    assert 4 < length < 6
    return (perf_counter() - start) * 1000
