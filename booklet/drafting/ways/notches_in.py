"""The notches of a drawing as marks on its edges: near ones together, each at the nearest place of the stitching line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from booklet.drafting.asked import Asked
from booklet.paths import Path

TOGETHER = 9.0  # mm: notches nearer than this along an edge are one double or triple notch; common practice, no source
FARTHEST = 100.0  # mm from the stitching line
KINDS: tuple[Literal["single", "double", "triple"], ...] = ("single", "double", "triple")
SHOWN = 16


@dataclass(frozen=True)
class NotchFound:
    """Notches that stand together on an edge: their middle, mm from the edge's start and as a point."""

    edge: str
    along: float
    at: complex
    kind: Literal["single", "double", "triple"]


def notches_found(points: Sequence[complex], lines: list[tuple[str, Path]]) -> list[NotchFound]:
    """In the order of the edges, and along each."""
    on: list[list[float]] = [[] for _ in lines]
    for z in points:
        near = [path.nearest(z) for _, path in lines]
        off = [abs(path.point(s) - z) for (_, path), s in zip(lines, near, strict=True)]
        best = min(range(len(lines)), key=lambda n: off[n])
        if off[best] < FARTHEST:
            on[best].append(near[best])
    out = []
    for (name, path), places in zip(lines, on, strict=True):
        group: list[float] = []
        for s in [*sorted(places), float("inf")]:
            if group and (s - group[-1] > TOGETHER or len(group) == len(KINDS)):
                middle = sum(group) / len(group)
                out.append(NotchFound(name, middle, path.point(middle), KINDS[len(group) - 1]))
                group = []
            group.append(s)
    return out


def named_notches(asked: Asked, found: list[NotchFound], block: str) -> list[tuple[str, NotchFound]]:
    """`notches: [NAMES]` for all in order round the piece, or `{NAME: number}` for some; none where it is not given."""
    if not asked.has("notches"):
        return []
    spec = asked.spec["notches"]
    there = ", ".join(f"{n} ({f.kind}, {f.edge} at {f.along:.0f} mm)" for n, f in enumerate(found[:SHOWN], 1))
    mend = f"In order they are {there}." if found else ""
    if isinstance(spec, list):
        if len(spec) != len(found):
            raise asked.fault(
                "notches",
                f"{block} has {len(found)} notches, {len(spec)} are named",
                mend + " Some alone are named so: notches: {NAME: 1}.",
            )
        return [(str(name), f) for name, f in zip(spec, found, strict=True)]
    out = []
    for name, number in spec.items():
        if not 1 <= number <= len(found):
            raise asked.fault("notches", f"{block} has {len(found)} notches, none is number {number}", mend)
        out.append((str(name), found[number - 1]))
    return out
