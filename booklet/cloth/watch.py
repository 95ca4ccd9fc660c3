"""What a search tells whoever waits for it: which cloth it lays, and how far it is."""

from __future__ import annotations

from collections.abc import Callable

Doing = Callable[[str], None]  # takes a few words, such as 'Laying main cloth, 150 cm: 40 %'

STEP = 5  # percent between two tellings
# Of a search's evaluations so many are asked for one by one; the others are counted by sweeps, three at a time.
_ASKED = 0.6


def silent(words: str) -> None:
    """Nobody waits."""


def never() -> bool:
    """Nobody stops the search."""
    return False


def counted(
    doing: Doing, what: str, evaluations: int, stop: Callable[[], bool] = never
) -> Callable[[], bool]:
    """A question that a search asks before each evaluation: `stop`, and in passing it tells how far it is."""
    doing(what)
    if evaluations <= 0:
        return stop
    asked, told = 0, 0

    def over() -> bool:
        nonlocal asked, told
        asked += 1
        percent = min(100, int(100 * asked / (evaluations * _ASKED)))
        if percent >= told + STEP:
            told = percent - percent % STEP
            doing(f"{what}: {told} %")
        return stop()

    return over
