"""buttons: rows of buttonholes sewn and cut, then the buttons sewn on where the holes lie."""

from __future__ import annotations

from booklet.drafting.buttons import PAST, hole_of
from booklet.model import Copy
from booklet.sewing.checks_buttons import Row, rows_of
from booklet.sewing.operations.base import (
    HAND,
    ORNAMENTAL,
    ZIGZAG,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.button import HAND_THREAD, PASSES
from booklet.sewing.operations.names import edge_words, piece_names

# A close zigzag 2 mm wide with five stitches to 2 mm lays about ten times its length (arithmetic), on both sides.
CLOSE = 10
BARS = 60.0  # mm of stitching in the bars of one buttonhole (common practice, no source)


def _marks(context: Context) -> Row:
    rows = rows_of(tuple(context.copies.values()))
    return [pair for ref in dict.fromkeys(map(str, context.spec)) for pair in rows.get(ref, [])]


def _groups(row: Row, kind: str) -> list[Row]:
    """The marks of a kind by piece and row."""
    out: dict[tuple[str, str], Row] = {}
    for copy, mark in row:
        if mark.kind == kind:
            out.setdefault((copy.piece.name, mark.row), []).append((copy, mark))
    return list(out.values())


def _edge(context: Context, copy: Copy, name: str) -> str:
    half = next((h for h in copy.edges if h.base == name), None)
    return edge_words(half) if half else context.tongue.said(name.replace("_", " "))


def _place(context: Context, group: Row) -> Facts:
    """Which piece, which side of it, how many, and where they lie on its line."""
    copy, first = group[0]
    ply = [m for c, m in group if c.id == copy.id]
    plies = list(dict.fromkeys(c.id for c, _ in group))
    all_plies = context.plies(copy.piece.name)
    sides = {c.side for c in all_plies}
    kind = "each" if len(plies) > 1 else "one"
    said = context.tongue.said
    if len(plies) == 1 and first.side != "whole":
        kind = "part" if copy.side == "whole" else "side" if len(sides) > 1 else "one"
    return {
        "piece": piece_names([copy])[0],
        "where": kind,
        "side": first.side,
        "count": len(ply),
        "line": _edge(context, copy, first.line)
        if first.inside is not None
        else said(first.line.replace("_", " ")),
        "inside": first.inside,
        "from": _edge(context, copy, first.start),
        "far": first.far,
        "apart": ply[1].far - ply[0].far if len(ply) > 1 else None,
        "along": first.along,
    }


def facts(context: Context) -> Facts:
    row = _marks(context)
    holes, buttons = (_groups(row, kind) for kind in ("buttonhole", "button"))
    first = row[0][1] if row else None
    sided = [g[0][1].side for g in holes if g[0][1].side != "whole"]
    lapped = [c for g in holes if g[0][1].side == "whole" for c, _ in g]
    return {
        "count": sum(len(g) for g in holes),
        "buttons": sum(len(g) for g in buttons),
        "size": first.size if first else 0.0,
        "thick": first.thick if first else 0.0,
        "wrapped": first.wrapped if first else 0.0,
        "long": hole_of(first) if first else 0.0,
        "past": PAST,
        "holes": [_place(context, g) for g in holes],
        "over": sided[0] if sided else "whole",
        "lapped": piece_names(lapped),
        "lap": _lap(row),
        "centre": next(
            (
                context.tongue.said(g[0][1].line.replace("_", " "))
                for g in holes
                if g[0][1].side != "whole" and g[0][1].inside is None
            ),
            "",
        ),
        "passes": PASSES,
    }


def _lap(row: Row) -> float | None:
    """By how much the two ends of one ply lap when its button lies in its hole, mm; of square holes at both its ends."""
    holes = [m for _, m in row if m.kind == "buttonhole" and not m.along]
    buttons = [m for _, m in row if m.kind == "button"]
    for hole in holes:
        for button in buttons:
            if hole.side == "whole" == button.side and None not in (hole.inside, button.inside):
                return float(hole.inside or 0.0) + float(button.inside or 0.0)
    return None


def stitching(context: Context) -> tuple[Stitching, ...]:
    f = facts(context)
    each = 2 * CLOSE * f["long"] + BARS
    return (
        Stitching(ZIGZAG, each * f["count"], "buttonholes", ORNAMENTAL, f["count"]),
        Stitching(HAND, HAND_THREAD * f["buttons"], "buttons", ORNAMENTAL, f["buttons"], "hand"),
    )


def effort(context: Context) -> Effort:
    f = facts(context)
    return Effort(f["count"], matches=f["count"] + f["buttons"])


OPERATION = Operation("buttons", facts, stitching, effort)
