"""Checks of what is laid on or round an edge: bindings, patch pockets, straps that are sewn on."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.model import Copy, Place, Seam
from booklet.problems import Collector, nearest
from booklet.seams.table import RecipeStep, SeamTable

SHORT = 1.5  # mm: how far a binding's length may be off what it binds (as two seams that are equal)
FLAT_NO_MORE = (
    2  # closed rounds of seams after which a garment no longer lies flat (common practice, no source)
)


def check_bindings(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> frozenset[str]:
    """The pieces used as bindings. Told are: unknown ones, strips not joined before, lengths and allowances that differ."""
    used: list[str] = []
    joined: list[str] = []
    by_key = {c.piece.name: c for c in copies}
    known = sorted(k for k, c in by_key.items() if c.piece.binding)
    for step in table.steps:
        if step.verb == "strips":
            joined += [str(k) for k in step.spec]
            for key in joined:
                if key not in known:
                    collector.error(
                        "unknown-binding",
                        step.where,
                        f"'{key}' is not a binding",
                        nearest(key, known).strip(),
                    )
        if step.verb != "bind" or not isinstance(step.spec, Mapping):
            continue
        key = str(step.spec.get("with"))
        used.append(key)
        if key not in known:
            collector.error(
                "unknown-binding",
                step.where,
                f"'{key}' is not a binding that is cut",
                nearest(key, known).strip() or "Draw it in `pieces:` with binding:.",
            )
            continue
        if key not in joined:
            collector.error(
                "strips-late",
                step.where,
                f"{key} is sewn on here, but its strips were not joined and pressed before",
                f"Add a step `strips: [{key}]` before.",
            )
        _check_bound(table, step, by_key[key], sum(c.piece.name == key for c in copies), collector)
    return frozenset(used)


def _check_bound(table: SeamTable, step: RecipeStep, strip: Copy, plies: int, collector: Collector) -> None:
    binding = strip.piece.binding
    assert binding is not None  # only bindings are asked about
    seams = table.of_step(step.id)
    for seam in sorted(seams, key=lambda s: -s.a_mm)[:1]:  # of two unlike sides the longer
        if abs(seam.a_mm - binding.covers) > SHORT:
            collector.error(
                "binding-length",
                step.where,
                f"{strip.piece.name} is cut for {binding.covers:.0f} mm, {seam.a.text} is {seam.a_mm:.0f} mm long",
                f"Write `of: {seam.a.text}` in its binding:.",
            )
        if seam.allow_a > 0.05:
            collector.error(
                "bound-allowance",
                step.where,
                f"{seam.a.text} is bound but has {seam.allow_a:.1f} mm allowance",
                "Write 0 for it in `allow:`: the binding goes round its raw edge.",
            )
    made = plies // binding.strips
    if seams and made != len(seams):
        collector.error(
            "binding-count",
            step.where,
            f"{strip.piece.name} is cut for {made} binding{'s' if made != 1 else ''}, this step sews on {len(seams)}",
            "Let `cut:` count the bindings, not their strips.",
        )


def place_of(copies: Mapping[str, Copy] | tuple[Copy, ...], ref: str) -> tuple[Copy, Place] | None:
    """The copy and the place that PIECE.PLACE names; of a place on both halves the right one."""
    key, _, name = ref.partition(".")
    plies = copies.values() if isinstance(copies, Mapping) else copies
    found = [
        (c, p) for c in plies if c.piece.name == key and c.host is None for p in c.places if p.name == name
    ]
    return next((f for f in found if "right" in (f[0].side, f[1].side)), found[0] if found else None)


def check_patches(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """A patch pocket and a strap name places that are there, and the pocket comes while its piece lies flat."""
    for step in table.steps:
        if step.verb == "pocket":
            ref = str(step.spec.get("on"))
            found = place_of(copies, ref)
            seams = table.of_step(step.id)
            piece = seams[-1].a.parts[0].copy.split(".")[0].split("#")[0] if seams else ""
            if found is None or (seams and found[1].piece != piece):
                known = [f"{c.piece.name}.{p.name}" for c in copies for p in c.places]
                collector.error(
                    "unknown-place",
                    step.where,
                    f"there is no place '{ref}' for {piece or 'the pocket'}",
                    nearest(ref, known).strip() or "Give the piece under it an entry in `places:`.",
                )
            elif _rounds(table, step, found[0].id) >= FLAT_NO_MORE:
                collector.warning(
                    "pocket-late",
                    step.where,
                    f"the pocket is sewn on {found[0].piece.name} when that no longer lies flat",
                    "Move it before the seams that close the garment.",
                )
        if step.verb == "attach":
            key, _, edge = str(step.spec.get("to")).partition(".")
            halves = [h for c in copies if c.piece.name == key for h in c.edges if h.base == edge]
            mark = str(step.spec.get("at"))
            if not any(h.edge.mark(mark) for h in halves):
                collector.error(
                    "unknown-mark",
                    step.where,
                    f"{key}.{edge} has no mark '{mark}' to attach to",
                    nearest(mark, [m.name for h in halves for m in h.edge.marks]).strip(),
                )


def _rounds(table: SeamTable, step: RecipeStep, copy: str) -> int:
    """How many closed rounds the seams sewn before a step make of the work that a copy is part of."""
    order = [s.id for s in table.steps]
    seams: list[Seam] = [
        s for s in table.seams
        if s.kind == "join" and s.b is not None and order.index(s.step) < order.index(step.id)
    ]  # fmt: skip
    work, links, grown = {copy}, 0, True
    while grown:
        ids = [{p.copy for p in (*s.a.parts, *(s.b.parts if s.b else ()))} for s in seams]
        links = sum(1 for i in ids if i & work)
        more = work.union(*(i for i in ids if i & work))
        work, grown = more, len(more) > len(work)
    return links - len(work) + 1
