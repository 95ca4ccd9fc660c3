"""Checks of bound slits: slit and strip are there and fit each other, and the cuff or band comes after (rule 22)."""

from __future__ import annotations

from booklet.model import Copy, Opening
from booklet.problems import Collector, nearest
from booklet.seams.table import RecipeStep, SeamTable

SHORT = 1.0  # mm: so much may lack at the strip's ends
# How often the slit's own length the strip may be at most: the rest would be cut off. Common practice, no source.
MOST = 1.4
# Of two strips, all common practice, no source.
ACROSS = 5.0  # mm: the row across lies so far below the point or the square top at least
UNDER_MORE = 20.0  # mm: more of the under strip would reach beyond the over one


def needed(copy: Copy, opening: Opening) -> float:
    """How long a strip must be: up and down the slit, its lower edge's allowance at both ends, mm."""
    half = next(h for h in copy.edges if h.base == opening.edge)
    return 2 * (opening.depth + half.edge.allow)


def cut_size(strip: Copy) -> tuple[float, float]:
    """Length and width of a rectangular strip with its allowances, mm."""
    first, second, third, fourth = (h.edge for h in strip.edges[:4])
    across = (first.length + second.allow + fourth.allow, second.length + first.allow + third.allow)
    return max(across), min(across)


def finished_width(strip: Copy, seam: float) -> float:
    """Half of what is left of a strip's width when both its turnings are folded in, mm."""
    return (cut_size(strip)[1] - 2 * seam) / 2


def above_slit(over: Copy, host: Copy, slit: Opening, seam: float) -> float:
    """How far an over strip reaches beyond the end of its slit when its top is turned in, mm."""
    return cut_size(over)[0] - needed(host, slit) / 2 - seam


def check_plackets(
    table: SeamTable, copies: tuple[Copy, ...], consuming: tuple[str, ...], collector: Collector
) -> frozenset[str]:
    """The pieces used as strips: their edges lie folded in, so that no other step deals with them."""
    used = []
    slits = {f"{c.piece.name}.{o.name}" for c in copies for o in c.openings}
    for n, step in enumerate(table.steps):
        if step.verb != "placket":
            continue
        if "over" in step.spec:
            used += [str(step.spec["over"]), str(step.spec["under"])]
            _two(step, n, table, copies, slits, consuming, collector)
            continue
        slit, key = str(step.spec.get("slit")), str(step.spec.get("with"))
        strips = [c for c in copies if c.piece.name == key and c.host is None]
        used.append(key)
        if slit not in slits:
            collector.error(
                "unknown-opening",
                step.where,
                f"there is no opening '{slit}'",
                nearest(slit, sorted(slits)).strip(),
            )
        elif not strips or len(strips[0].edges) != 4:
            collector.error(
                "unknown-strip",
                step.where,
                f"'{key}' is not a strip that is cut" if not strips else f"{key} is no strip with four edges",
                nearest(key, dict.fromkeys(c.piece.name for c in copies)).strip()
                or "Draw it as a rectangle:.",
            )
        else:
            hosts = [(c, o) for c in copies for o in c.openings if f"{c.piece.name}.{o.name}" == slit]
            _fits(step, hosts, strips, collector)
            _order(table, n, hosts, consuming, collector)
    return frozenset(used)


def _fits(
    step: RecipeStep, hosts: list[tuple[Copy, Opening]], strips: list[Copy], collector: Collector
) -> None:
    key = strips[0].piece.name
    if len(hosts) != len(strips):
        collector.error(
            "strip-count",
            step.where,
            f"{len(strips)} of {key} are cut, for {len(hosts)} slits",
            "Cut one strip for each slit.",
        )
    long = cut_size(strips[0])[0]
    least = max(needed(*h) for h in hosts)
    if not least - SHORT <= long <= least * MOST:
        collector.error(
            "strip-length",
            step.where,
            f"{key} is cut {long:.0f} mm long; up one side of the slit and down the other it takes {least:.0f} mm",
            "Draw it twice as long as the slit is deep, and the lower edge's allowance at both ends.",
        )


def _order(
    table: SeamTable,
    n: int,
    hosts: list[tuple[Copy, Opening]],
    consuming: tuple[str, ...],
    collector: Collector,
) -> None:
    before = {s.id for s in table.steps[:n]}
    sewn = [s for s in table.seams if s.step in before and s.kind in consuming]
    edges = {(c.id, h.name) for c, o in hosts for h in c.edges if h.base == o.edge}
    for seam in sewn:
        if edges & {(p.copy, p.edge) for p in (*seam.a.parts, *(seam.b.parts if seam.b else ()))}:
            collector.error(
                "placket-late",
                table.steps[n].where,
                f"the slit is bound after step '{seam.step}' has closed the edge it begins at",
                "Bind the slit first.",
            )
            return
    pieces = {c.id for c, _ in hosts}
    for seam in sewn:
        if seam.b and pieces & {p.copy for p in seam.a.parts} & {p.copy for p in seam.b.parts}:
            collector.warning(
                "placket-round",
                table.steps[n].where,
                f"the slit is bound after step '{seam.step}' has made its piece round",
                "Bind it while the piece lies flat.",
            )
            return


def _two(
    step: RecipeStep,
    n: int,
    table: SeamTable,
    copies: tuple[Copy, ...],
    slits: set[str],
    consuming: tuple[str, ...],
    collector: Collector,
) -> None:
    """An over and an under strip are there and as many as the slits; their size covers the slit and reaches beyond it."""
    ref = str(step.spec["slit"])
    names = [str(step.spec[key]) for key in ("over", "under")]
    over, under = ([c for c in copies if c.piece.name == name and c.host is None] for name in names)
    hosts = [(c, o) for c in copies for o in c.openings if f"{c.piece.name}.{o.name}" == ref]
    if not hosts:
        hint = nearest(ref, sorted(slits)).strip()
        collector.error("unknown-opening", step.where, f"there is no opening '{ref}'", hint)
        return
    for name, strips in zip(names, (over, under), strict=True):
        if not strips or len(strips[0].edges) != 4:
            what = f"{name} is no strip with four edges" if strips else f"'{name}' is not a strip that is cut"
            hint = (
                nearest(name, dict.fromkeys(c.piece.name for c in copies)).strip()
                or "Draw it as a rectangle:."
            )
            collector.error("unknown-strip", step.where, what, hint)
            return
        if len(strips) != len(hosts):
            what = f"{len(strips)} of {name} are cut, for {len(hosts)} slits"
            collector.error("strip-count", step.where, what, "Cut one strip for each slit.")
    host, slit = hosts[0]
    seam = slit.mouth / 2
    wide, narrow = finished_width(over[0], seam), finished_width(under[0], seam)
    least = ACROSS + (wide / 2 if str(step.spec.get("top", "pointed")) == "pointed" else 0.0)
    above = above_slit(over[0], host, slit, seam)
    if above < least - SHORT:
        what = f"{names[0]} reaches {above:.0f} mm beyond the end of the slit; its top takes {least:.0f} mm"
        collector.error("strip-length", step.where, what, f"Draw it {least - above:.0f} mm longer.")
    long, reach = cut_size(under[0])[0], needed(host, slit) / 2
    if not reach + seam - SHORT <= long <= reach + UNDER_MORE:
        what = f"{names[1]} is cut {long:.0f} mm long; from the cut edge to the end of the slit it takes {reach:.0f} mm"
        mend = f"Draw it {seam:.0f} to {UNDER_MORE:.0f} mm longer than that."
        collector.error("strip-length", step.where, what, mend)
    if wide < max(slit.mouth, narrow) + ACROSS - SHORT:
        what = (
            f"{names[0]} is finished {wide:.1f} mm wide; it must cover the slit, {slit.mouth:.1f} mm, and {names[1]}, "
            f"{narrow:.1f} mm, by {ACROSS:.0f} mm"
        )
        collector.error(
            "strip-width", step.where, what, "Draw it wider: twice its finished width and both turnings."
        )
    _order(table, n, hosts, consuming, collector)
