"""A bracketed root, for the one unknown that an equation of a draft may have."""

from __future__ import annotations

from collections.abc import Callable


class Unbracketed(Exception):
    """Both ends of the bracket lie on one side: no root is promised between them."""

    def __init__(self, at_low: float, at_high: float) -> None:
        self.at_low, self.at_high = at_low, at_high
        super().__init__(f"{at_low:g} and {at_high:g} have one sign")


def find_root(gap: Callable[[float], float], low: float, high: float, tol: float = 1e-6) -> float:
    """x in [low, high] with |gap(x)| <= tol, by regula falsi with the Illinois rule and bisection as its guard.

    Source: M. Dowell and P. Jarratt, "A modified regula falsi method", BIT 11 (1971). Raises Unbracketed where the
    ends have one sign.
    """
    a, b = low, high
    fa, fb = gap(a), gap(b)
    if abs(fa) <= tol:
        return a
    if abs(fb) <= tol:
        return b
    if (fa > 0) == (fb > 0):
        raise Unbracketed(fa, fb)
    wa, wb, last = fa, fb, 0
    for n in range(100):
        x = (a * wb - b * wa) / (wb - wa) if n % 8 != 7 else (a + b) / 2
        if not min(a, b) < x < max(a, b):
            x = (a + b) / 2
        fx = gap(x)
        if abs(fx) <= tol or abs(b - a) < 1e-9:
            return x
        if (fx > 0) == (fb > 0):
            b, fb, wb = x, fx, fx
            wa = wa / 2 if last == 1 else fa
            last = 1
        else:
            a, fa, wa = x, fx, fx
            wb = wb / 2 if last == -1 else fb
            last = -1
    return (a + b) / 2
