"""Slash and spread: cut from one edge to another, open the slashes, draw the opened edges smooth again."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from booklet.drafting.asked import Asked
from booklet.drafting.places import begins_at
from booklet.drafting.shape import Run, Shape, snapped
from booklet.drafting.strips import Slash, slashed
from booklet.drafting.verbs.spread_edges import FEW, Opened, drawn_smooth, straight_over_gaps
from booklet.model import Trueing
from booklet.problems import Fault, Where, nearest


@dataclass(frozen=True)
class Stretch:
    """Part of an edge, mm from its start (s0 < s1); `turned` where it was named from its later end."""

    edge: str
    s0: float
    s1: float
    turned: bool = False

    def at(self, far: float) -> float:
        """The place `far` mm from the end of the stretch that was named first."""
        return self.s1 - far if self.turned else self.s0 + far


def slash_and_spread(
    shape: Shape,
    top: Stretch,
    foot: Stretch,
    slashes: list[Slash],
    where: Where,
    smooth: bool = True,
    even: bool = False,
    key: str = "",
) -> Shape:
    """Opens slashes from `top` to `foot`, in order along `top`. Strips move rigidly; the one on the fold stays.

    Smooth, the edge slashed from is drawn again within its stretch and solved to its old length and what was opened, and
    so is an edge hinged at; another is drawn smooth alone. What that changed is written down as Trueing. `even`: marks of
    a many times slashed edge keep their share of the stretch, else they stay on their strip.
    """
    strips = slashed(shape, top.edge, foot.edge, slashes, where, key)
    opened_top = Opened(
        shape.run(top.edge), [p for p in strips.parts_at() if p is not None],
        tuple(s.at for s in slashes), tuple(s.open_at for s in slashes), top.s0, top.s1, even,
    )  # fmt: skip
    opened_foot = Opened(
        shape.run(foot.edge), [p for p in strips.parts_foot() if p is not None],
        tuple(s.foot for s in reversed(slashes)), tuple(s.open_foot for s in reversed(slashes)),
        foot.s0, foot.s1, even,
    )  # fmt: skip
    if not smooth:
        made = strips.spread(straight_over_gaps(opened_top), straight_over_gaps(opened_foot))
        return replace(made, runs=snapped(made.runs))
    hinged = max(opened_foot.gaps) < 1e-9
    at_rest = hinged and max(opened_top.gaps) < 1e-9
    new_top = drawn_smooth(opened_top, True, where)
    new_foot = opened_foot.run if at_rest else drawn_smooth(opened_foot, hinged, where)
    changes = tuple(
        Trueing(o.run.name, "drawn smooth after the spread", o.run.path.length + o.gain, new.path.length)
        for o, new in ((opened_top, new_top), (opened_foot, new_foot))
    )
    made = strips.spread(new_top, new_foot)
    return replace(made, runs=snapped(made.runs), trueings=(*shape.trueings, *changes))


def spread_evenly(
    top: Stretch, foot: Stretch, count: int, open_top: list[float], open_foot: list[float]
) -> list[Slash]:
    """`count` slashes in the middles of equal shares of both stretches."""
    shares = [(k + 0.5) / count for k in range(count)]
    return [
        Slash(top.s0 + (top.s1 - top.s0) * k, foot.s0 + (foot.s1 - foot.s0) * (1 - k), a, b)
        for k, a, b in zip(shares, open_top, open_foot, strict=True)
    ]


# ------------------------------------------------------------------ as the file asks for it


def ask_slash_and_spread(asked: Asked, shape: Shape) -> Shape:
    """`slash and spread: {from: EDGE[a..b], to or hinge: EDGE, slashes: n or at: [..], feet: [..], open, true}`."""
    hinge = asked.has("hinge")
    top = ask_stretch(asked, shape, asked.words("from"))
    foot = ask_stretch(asked, shape, asked.words("hinge" if hinge else "to"))
    smooth = asked.words("true", "smooth") == "smooth"
    if asked.has("at"):
        places, feet = _ask_places(asked, top, foot)
        count = len(places)
    else:
        count = round(asked.amount("slashes", kind="count")) if asked.has("slashes") else 1
        if not 1 <= count <= 60:
            raise asked.fault("spread", f"{asked.key}: {count} slashes are asked for", "Write 1 to 60.")
        places, feet = [], []
    opens = [_ask_open(asked, e, count, hinge and e is foot) for e in (top, foot)]
    if asked.has("at"):
        slashes = [Slash(a, f, x, y) for a, f, x, y in zip(places, feet, *opens, strict=True)]
        if slashes[0].at > slashes[-1].at:
            slashes.reverse()
    else:
        slashes = spread_evenly(top, foot, count, *opens)
    even = not asked.has("at") and count >= FEW
    return slash_and_spread(shape, top, foot, slashes, asked.where, smooth, even, asked.key)


def ask_stretch(asked: Asked, shape: Shape, text: str) -> Stretch:
    """A whole edge, or `edge[place..place]`: a place is a mark, or what the edge meets at one of its ends."""
    found = re.fullmatch(r"(\w+(?:\.(?:left|right))?)(?:\[([\w.]+?)\.\.([\w.]+)\])?", text.replace(" ", ""))
    if not found:
        raise asked.fault(
            "spread-from", f"'{text}' is not an edge", "Write EDGE, or EDGE[place..place] for a part of it."
        )
    edge, a, b = found.groups()
    run = asked.run(shape, edge)
    if a is None:
        return Stretch(edge, 0.0, run.path.length)
    s, t = (ask_place(asked, shape, run, name) for name in (a, b))
    if abs(s - t) < 1:
        raise asked.fault("spread-from", f"{asked.key}: {text} has no length", "Name two places.")
    return Stretch(edge, min(s, t), max(s, t), s > t)


def ask_place(asked: Asked, shape: Shape, run: Run, name: str) -> float:
    """A mark of an edge, or one of its ends by what it meets there, mm from its start."""
    for mark in run.marks:
        if mark.name == name:
            return mark.at
    try:
        return 0.0 if begins_at(shape, run, name, asked.key, asked.where) else run.path.length
    except Fault:
        before, after = shape.neighbours(run.name)
        raise asked.fault(
            "unknown-mark",
            f"{asked.key}.{run.name} has no mark '{name}'",
            nearest(name, [*(m.name for m in run.marks), before.name, after.name]).strip(),
        ) from None


def _ask_places(asked: Asked, top: Stretch, foot: Stretch) -> tuple[list[float], list[float]]:
    """`at:` mm from the stretch's first named end, `feet:` shares of the other edge from that side; sorted together."""
    if "[" not in asked.words("from"):
        raise asked.fault(
            "spread-from",
            f"{asked.key}: `at:` needs to know from which end of {top.edge} it is measured",
            f"Write from: '{top.edge}[END..END]', the end to measure from first.",
        )
    size = top.s1 - top.s0
    fars = [asked.amount("at", n) for n in range(len(asked.spec["at"]))]
    feet = [asked.amount("feet", n, kind="ratio") for n in range(len(asked.spec.get("feet") or []))]
    for far in fars:
        if not 0.5 < far < size - 0.5:
            raise asked.fault(
                "spread", f"{asked.key}: a slash lies {far:.1f} mm along {top.edge}, which has {size:.1f} mm",
                "Set it within the edge.",
            )  # fmt: skip
    if feet and len(feet) != len(fars):
        raise asked.fault(
            "spread", f"{asked.key} has {len(fars)} slashes and {len(feet)} feet", "Give each one foot."
        )
    if any(not 0 < f < 1 for f in feet):
        raise asked.fault(
            "spread", f"{asked.key}: a foot lies outside {foot.edge}", "Feet are shares between 0 and 1."
        )
    shares = feet or [far / size for far in fars]
    along = [
        1 - f if not top.turned else f for f in shares
    ]  # the other edge runs the other way round the ring
    return [top.at(far) for far in fars], [foot.s0 + (foot.s1 - foot.s0) * f for f in along]


def _ask_open(asked: Asked, stretch: Stretch, count: int, hinged: bool) -> list[float]:
    """What each slash opens by at one edge: a total shared evenly, or a list of one amount for each slash."""
    given = asked.spec["open"]
    if hinged:
        return [0.0] * count
    keys: tuple[str | int, ...] = ("open",)
    if isinstance(given, Mapping) and not {"is", "in", "cm", "mm"} & set(given):
        names = (asked.words("from").split("[")[0].strip(), asked.words("to").split("[")[0].strip())
        for name in given:
            if name not in names:
                raise asked.fault(
                    "spread",
                    f"{asked.key}: `open:` names '{name}'",
                    nearest(str(name), [n for n in names if n]).strip(),
                )
        if given.get(stretch.edge) is None:
            return [0.0] * count
        keys, given = ("open", stretch.edge), given[stretch.edge]
    if isinstance(given, list):
        if len(given) != count:
            raise asked.fault(
                "spread", f"{asked.key} has {count} slashes and {len(given)} amounts to open them by",
                "Give each slash one, or one amount in all.",
            )  # fmt: skip
        amounts = [asked.amount(*keys, n) for n in range(count)]
    else:
        amounts = [asked.amount(*keys) / count] * count
    if min(amounts) < 0:
        raise asked.fault(
            "spread",
            f"{asked.key}: {stretch.edge} is to open by {sum(amounts):.0f} mm",
            "Amounts are 0 or more.",
        )
    return amounts
