"""dart: a fold sewn to a point."""

from __future__ import annotations

from booklet.model import Copy, Dart
from booklet.sewing.operations.base import (
    LOCKSTITCH,
    SUPERIMPOSED,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import Name, common, edge_words, piece_names

RUN_OUT = (
    15.0  # mm before the point along which the stitching runs close to the fold (common practice, no source)
)
TAILS = 60.0  # mm of thread to knot


def _darts(context: Context) -> list[tuple[Copy, Dart]]:
    names = context.spec if isinstance(context.spec, list) else [context.spec]
    out = []
    for text in names:
        piece, _, name = str(text).partition(".")
        out += [(c, d) for c in context.plies(piece) for d in c.darts if d.name == name]
    return out


def leg(dart: Dart) -> float:
    """Length of a leg from the stitch line of its edge to the point, mm. Both legs are equal."""
    return abs(dart.point - dart.first)


def facts(context: Context) -> Facts:
    found = _darts(context)
    kinds: dict[tuple[str, str], list[tuple[Copy, Dart]]] = {}
    for copy, dart in found:
        kinds.setdefault((copy.piece.name, dart.name), []).append((copy, dart))
    rows: list[Facts] = []
    for group in kinds.values():
        copy, dart = group[0]
        half = next(h for h in copy.edges if h.base == dart.edge)
        rows.append(
            {
                "piece": piece_names([copy])[0],
                "count": len(group),
                "leg": leg(dart),
                "intake": dart.intake,
                "edge": edge_words(half),
                "allow": half.edge.allow,
                "press": context.tongue.said(dart.press_words.removeprefix("to ")),
            }
        )
    names = [r["piece"] for r in rows]
    one: Name | None = common(context.tongue, names)
    alike = len({(round(r["leg"], 2), round(r["intake"], 2)) for r in rows}) == 1
    return {
        "rows": rows,
        "pieces": (one,) if one else tuple(names),
        "each": tuple(dict.fromkeys(names)),
        "count": len(found),
        "alike": alike,
        "one_edge": len({r["edge"] for r in rows}) == 1,
        "one_press": len({r["press"] for r in rows}) == 1,
        "leg": rows[0]["leg"],
        "intake": rows[0]["intake"],
        "edge": rows[0]["edge"],
        "press": rows[0]["press"],
        "run_out": RUN_OUT,
        "tails": TAILS,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    found = _darts(context)
    length = 0.0
    for copy, dart in found:
        half = next(h for h in copy.edges if h.base == dart.edge)
        length += leg(dart) + half.edge.allow
    return (Stitching(LOCKSTITCH, length, "darts", SUPERIMPOSED, len(found)),)


def effort(context: Context) -> Effort:
    found = _darts(context)
    return Effort(len(found), matches=len(found), acts=("press",) * len(found))


OPERATION = Operation("dart", facts, stitching, effort)
