"""The neckline that a collar or its stand is drawn for: edges of several pieces, from centre back to the front edge."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from booklet.drafting.asked import Asked
from booklet.drafting.numeric import Unbracketed, find_root
from booklet.model import Mark
from booklet.paths import Path
from booklet.splines import smooth_curve


@dataclass(frozen=True)
class Neckline:
    """Half a neckline, sewn lengths in mm: `stops` are its seams by name, `past_centre` lies beyond the centre front."""

    long: float
    stops: tuple[tuple[str, float], ...] = ()
    past_centre: float = 0.0

    @property
    def to_centre(self) -> float:
        return self.long - self.past_centre


def neckline_of(asked: Asked) -> Neckline:
    """`neck: [edges from centre back to the front]`, of which `past centre:` lies beyond the centre front."""
    at = 0.0
    stops: list[tuple[str, float]] = []
    names = asked.listed("neck")
    for n, name in enumerate(names):
        _, run = asked.edge(name)
        at += run.sewn
        if n < len(names) - 1:
            stops.append((f"{name.split('.')[0]}_end", at))
    past = asked.amount("past centre", default=0.0)
    if not 0 <= past < at / 2:
        raise asked.fault(
            "past-centre",
            f"{past:.1f} mm of the {at:.1f} mm of {asked.key}'s neckline lie beyond the centre front",
            "Write how far the front edge lies beyond it, 0 or a little more.",
        )
    return Neckline(at, tuple(stops), past)


def neck_marks(neck: Neckline, long: float, start: float = 0.0) -> tuple[Mark, ...]:
    """The neckline's seams, and its centre front where it is no end, as notches of an edge `long` mm long.

    The edge runs back to the centre back, where it ends; it begins `start` mm beyond the neckline's far end.
    """
    stops = list(neck.stops)
    if neck.past_centre + start > 0.5:
        stops.append(("centre_front", neck.to_centre))
    marks = [Mark(name, "single", long - at) for name, at in stops if 1 < at < long - 0.5]
    return tuple(sorted(marks, key=lambda m: m.at))


def sprung(asked: Asked, long: float, lift: float) -> Path:
    """A line of a given length from 0, level at first, that ends `lift` mm higher: upwards as seen, or down below 0."""

    def drawn(across: float) -> Path:
        return smooth_curve([0j, complex(across * 0.4, -lift * 0.06), complex(across, -lift)], 1 + 0j)

    if abs(lift) < 0.01:
        return Path.line(0j, complex(long))
    return solved(
        asked, drawn, long, (long * 0.6, long), f"rises or falls by {abs(lift):.1f} mm over {long:.1f} mm"
    )


def solved(
    asked: Asked, drawn: Callable[[float], Path], long: float, between: tuple[float, float], what: str
) -> Path:
    """The line of a family that is `long` mm long, to 1e-6 mm. Raises Fault where none between the bounds is."""
    try:
        return drawn(find_root(lambda x: drawn(x).length - long, *between, 1e-6))
    except Unbracketed:
        raise asked.fault(
            "collar-curve",
            f"the neck edge of {asked.key} {what}: no line of that length does",
            "Let it rise or fall less.",
        ) from None


def amount_above(asked: Asked, key: str, least: float = 1.0) -> float:
    """A length that must be there. Raises Fault with what it comes out as."""
    size = asked.amount(key)
    if not size >= least:
        raise asked.fault(
            "collar-size", f"{asked.key}: {key} comes out {size:.1f} mm", f"It must be {least:g} mm or more."
        )
    return size


def spread_of(asked: Asked, point: float) -> float:
    """How far a collar's point, `point` mm long, lies out beyond a square to its neck edge, mm. Raises `Fault`."""
    spread = asked.amount("spread", default=0.0)
    if not abs(spread) < point * 0.95:
        raise asked.fault(
            "spread",
            f"the points of {asked.key} are {point:.1f} mm long and to lie {spread:.1f} mm out",
            "Let them be longer, or spread less.",
        )
    return spread


def grain_of(high: float) -> tuple[complex, complex]:
    """The grain of half a collar or stand, along its centre back, in the middle three fifths of its height, tail to head."""
    across = 0.5 * high
    return complex(across, -0.2 * high), complex(across, -0.8 * high)
