"""Fit cap: the sleeve head solved against the armhole it is sewn to, before any spread."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.numeric import Unbracketed, find_root
from booklet.drafting.shape import Run, Shape
from booklet.model import Mark, Trueing
from booklet.problems import Fault, Where, nearest


def fit_cap(
    shape: Shape,
    head: str,
    armholes: dict[str, Run],
    ease: dict[str, float],
    walk: dict[str, tuple[Mark, float]],
    by: str,
    top: str,
    where: Where,
) -> Shape:
    """Head length = front + back armhole + their eases, by the cap's height or by the biceps width.

    `armholes` and `ease` have keys front and back; `walk` gives each armhole's notch and its distance from the
    underarm. Notches are walked to the head from the underarm at equal length; the top mark is set so that front and
    back each get their own ease, all of it between the notches. Which end of the head is the front one is told by
    `shape`'s points `front_under` and `back_under`.
    """
    run = shape.run(head)
    wanted = sum(armholes[k].sewn + ease[k] for k in ("front", "back"))
    base = (run.path.start + run.path.end) / 2

    def stretched(k: float) -> Run:
        sx, sy = (1.0, k) if by == "height" else (k, 1.0)
        return replace(run, path=run.path.stretched(sx, sy, base))

    try:
        factor = find_root(lambda k: stretched(k).path.length - wanted, 0.2, 4.0, 1e-6)
    except Unbracketed as no:
        raise Fault.of(
            "cap",
            f"no sleeve cap fits: the armhole with its ease is {wanted:.0f} mm, the head comes out between "
            f"{wanted + no.at_low:.0f} and {wanted + no.at_high:.0f} mm",
            where,
            "Make the sleeve narrower or the armhole deeper.",
        ) from None
    new = stretched(factor)
    if by == "height":
        others = shape
    else:
        others = replace(
            shape,
            runs=tuple(replace(r, path=r.path.stretched(factor, 1.0, base)) for r in shape.runs),
            points=tuple(
                (n, base + complex((z - base).real * factor, (z - base).imag)) for n, z in shape.points
            ),
        )
    points = dict(shape.points)
    front_first = abs(points["front_under"] - run.path.start) < abs(points["back_under"] - run.path.start)
    size = new.path.length

    def at(side: str, far: float) -> float:
        return far if (side == "front") == front_first else size - far

    marks = [
        Mark(walk[side][0].name, walk[side][0].kind, at(side, walk[side][1])) for side in ("front", "back")
    ]  # fmt: skip
    marks.append(Mark(top, "single", at("front", armholes["front"].sewn + ease["front"])))
    new = replace(new, marks=tuple(sorted(marks, key=lambda m: m.at)))
    change = Trueing(head, f"fitted to the armhole by {by}", run.path.length, size)
    return replace(others.with_run(new), trueings=(*shape.trueings, change), derived=(*shape.derived, head))


def ask_fit_cap(asked: Asked, shape: Shape) -> Shape:
    """`fit cap: {head, to: {front, back}, by, ease: {front, back}, walk: {front, back}, top}`."""
    armholes, ease, walk = {}, {}, {}
    for end in ("front", "back"):
        name = str(asked.spec["to"][end])
        parent, run = asked.edge(name)
        wanted = str(asked.spec["walk"][end])
        mark = next((m for m in run.marks if m.name == wanted), None)
        if mark is None:
            raise asked.fault(
                "unknown-mark",
                f"{name} has no mark '{wanted}'",
                nearest(wanted, [m.name for m in run.marks]).strip(),
            )
        start = str(asked.table.data["marks"][mark.name]["from"])
        begins = asked.begins(parent, run, start, mark.name)
        armholes[end] = run
        walk[end] = (mark, mark.at if begins else run.path.length - mark.at)
        ease[end] = asked.amount("ease", end)
    by, top = asked.words("by", "height"), asked.words("top", "top")
    return fit_cap(shape, asked.words("head"), armholes, ease, walk, by, top, asked.where)
