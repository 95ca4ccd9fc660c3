"""pleat: pleats folded along their lines and held at their edge; tucks of a whole length are sewn."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from booklet.model import Copy, Half, Pleat
from booklet.sewing.operations.base import (
    LOCKSTITCH,
    ORNAMENTAL,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import called_together, edge_words, piece_names

BASTING = 4.0  # mm, the longest stitch of most machines (common practice, no source)


@dataclass(frozen=True)
class Group:
    """The pleats of one name on the plies of one piece."""

    copies: tuple[Copy, ...]
    pleats: tuple[Pleat, ...]  # on one ply

    @property
    def one(self) -> Pleat:
        return self.pleats[0]

    @property
    def count(self) -> int:
        """On one ply. One that lies across the fold is drafted as two halves, each with one fold."""
        across = self.one.kind in ("box", "inverted") and len(self.one.moves) == 1
        return len(self.pleats) // 2 if across else len(self.pleats)

    @property
    def half(self) -> Half:
        return next(h for h in self.copies[0].edges if h.base == self.one.edge)

    @property
    def sewn(self) -> bool:
        """A tuck folded out of both its edges is sewn from the one to the other."""
        return self.one.kind == "tuck" and len(self.one.sewn) == 2


def pleats_of(copies: Iterable[Copy], spec: object) -> list[Group]:
    """The groups that a step names as piece.name, in its order."""
    out = []
    plies = [c for c in copies if c.host is None]
    for text in spec if isinstance(spec, list) else [spec]:
        piece, _, name = str(text).partition(".")
        mine = [c for c in plies if c.piece.name == piece]
        found = tuple(p for p in mine[0].pleats if name in (p.group, p.name)) if mine else ()
        if found:
            out.append(Group(tuple(mine), found))
    return out


def facts(context: Context) -> Facts:
    groups = pleats_of(context.copies.values(), context.spec)
    rows: list[Facts] = []
    for group in groups:
        pleat, half = group.one, group.half
        rows.append(
            {
                "pieces": piece_names(group.copies),
                "kind": pleat.kind,
                "count": group.count,
                "deep": pleat.deep,
                "take": 2 * pleat.deep,
                "edge": edge_words(half),
                "allow": half.edge.allow,
                "press": context.tongue.said(pleat.press_words.removeprefix("to ")),
                "sewn": group.sewn,
                "long": pleat.moves[0][0].length,
                "finished": half.edge.sewn_length,
            }
        )
    kinds = {r["kind"] for r in rows}
    copies = [c for g in groups for c in g.copies]
    return {
        "rows": rows,
        "pieces": called_together(context, copies),
        "what": "tuck" if kinds == {"tuck"} else "pleat",
        "count": sum(g.count * len(g.copies) for g in groups),
        "held": any(not g.sewn for g in groups),
        "basting": BASTING,
        "edges": list({(r["edge"], r["pieces"]): r for r in rows}.values()),
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    out = []
    for group in pleats_of(context.copies.values(), context.spec):
        count = group.count * len(group.copies)
        if group.sewn:
            length = sum(m[0].length for p in group.pleats for m in p.moves) * len(group.copies)
            out.append(Stitching(LOCKSTITCH, length, "tucks", ORNAMENTAL, count))
        else:
            length = sum(2 * p.deep * len(p.moves) for p in group.pleats) * len(group.copies)
            out.append(Stitching(LOCKSTITCH, length, "pleats, basted", ORNAMENTAL, count))
    return tuple(out)


def effort(context: Context) -> Effort:
    groups = pleats_of(context.copies.values(), context.spec)
    folds = sum(len(p.moves) for g in groups for p in g.pleats for _ in g.copies)
    return Effort(len(groups), matches=folds, acts=("press",) * sum(len(g.copies) for g in groups))


OPERATION = Operation("pleat", facts, stitching, effort)
