"""Checks of buttons: rows that are there and sewn once, as many holes as buttons, strength under them, their order."""

from __future__ import annotations

import shapely

from booklet.model import ButtonMark, Copy, Seam
from booklet.problems import Collector, nearest
from booklet.seams.table import RecipeStep, SeamTable

Row = list[tuple[Copy, ButtonMark]]

LEVEL = 1.0  # mm by which a lapped end may miss what it should lie level with (common practice, no source)


def check_buttons(
    table: SeamTable, copies: tuple[Copy, ...], consuming: tuple[str, ...], collector: Collector
) -> None:
    rows = rows_of(copies)
    sewn: dict[str, str] = {}
    for n, step in enumerate(table.steps):
        if step.verb != "buttons":
            continue
        mine: Row = []
        for ref in dict.fromkeys(map(str, step.spec)):
            if ref not in rows:
                collector.error(
                    "unknown-row",
                    step.where,
                    f"there is no row of buttons '{ref}'",
                    nearest(ref, rows).strip() or "Give its piece an entry in `buttons:`.",
                )
                continue
            if ref in sewn:
                collector.error(
                    "sewn-twice",
                    step.where,
                    f"the buttons of {ref} are sewn again here; step '{sewn[ref]}' has sewn them already",
                    "Take them out of one of the two steps.",
                )
            sewn[ref] = step.id
            mine += rows[ref]
            _strength(table, step, ref, rows[ref], copies, collector)
            _room(step, ref, rows[ref], collector)
        _pairs(step, mine, collector)
        _lapped(table, step, mine, copies, collector)
        _early(table, n, mine, consuming, collector)
    for ref, row in rows.items():
        if ref not in sewn:
            collector.error(
                "buttons-left",
                row[0][0].piece.where,
                f"the buttons of {ref} are never sewn",
                f"Add a step `buttons: [{ref}]`.",
            )


def rows_of(copies: tuple[Copy, ...]) -> dict[str, Row]:
    """PIECE.ROW to its marks with the plies that have them, in order; of plies for both sides the right one first."""
    out: dict[str, Row] = {}
    for copy in sorted((c for c in copies if c.host is None and c.buttons), key=lambda c: c.side == "left"):
        for mark in copy.buttons:
            out.setdefault(f"{copy.piece.name}.{mark.row}", []).append((copy, mark))
    return dict(sorted(out.items(), key=lambda item: item[1][0][0].piece.number))


def _pairs(step: RecipeStep, row: Row, collector: Collector) -> None:
    holes, buttons = ([m for _, m in row if m.kind == kind] for kind in ("buttonhole", "button"))
    if len(holes) != len(buttons):
        collector.error(
            "button-pairs",
            step.where,
            f"this step has {len(holes)} buttonholes and {len(buttons)} buttons",
            "Name the rows of both, so that they are as many.",
        )
    sizes = dict.fromkeys((m.size, m.thick, m.wrapped) for _, m in row)
    if len(sizes) > 1:
        collector.error(
            "button-sizes",
            step.where,
            f"this step has buttons of {len(sizes)} sizes",
            "Give each size a step of its own.",
        )


def _lapped(
    table: SeamTable, step: RecipeStep, row: Row, copies: tuple[Copy, ...], collector: Collector
) -> None:
    """A band whose one end stands out and laps under the other: its button lies where its hole comes to lie."""
    for seam in table.seams:
        if seam.kind != "beyond":
            continue
        out = _stands_out(table, seam, copies)
        mine = [m for c, m in row if c.id == seam.a.parts[0].copy and m.inside is not None]
        holes = [m for m in mine if m.kind == "buttonhole" and not m.along]
        buttons = [m for m in mine if m.kind == "button"]
        for hole, button in zip(holes, buttons, strict=False):
            if hole.line == button.line or hole.inside is None or button.inside is None:
                continue
            lap = hole.inside + button.inside
            if abs(lap - out) > LEVEL:
                name = seam.a.parts[0].copy.split(".")[0]
                collector.warning(
                    "button-lap",
                    step.where,
                    f"buttoned, the ends of {name} lap by {lap:.1f} mm ({hole.row} {hole.inside:.1f} mm and {button.row} "
                    f"{button.inside:.1f} mm inside); they should lap by {out:.1f} mm",
                    f"Set the button {out - hole.inside:.1f} mm inside its end.",
                )
                return


def _stands_out(table: SeamTable, seam: Seam, copies: tuple[Copy, ...]) -> float:
    """By how much the two ends of a band lap: what stands out at its one end; over two strips at a slit both, less the slit."""
    both = [s for s in table.of_step(seam.step) if s.kind == "beyond" and s.side == seam.side]
    slits = [str(s.spec["slit"]) for s in table.steps if s.verb == "placket" and "over" in s.spec]
    mouths = [o.mouth for c in copies for o in c.openings if f"{c.piece.name}.{o.name}" in slits]
    return sum(s.a_mm for s in both) - (mouths[0] if len(both) > 1 and mouths else 0.0)


def _strength(
    table: SeamTable, step: RecipeStep, ref: str, row: Row, copies: tuple[Copy, ...], collector: Collector
) -> None:
    """Rule 35 of the trade's order: interfacing, or cloth turned in, under a buttonhole."""
    fused = {c.host for c in copies if c.host}
    for copy, mark in row:
        if mark.kind == "buttonhole" and copy.id not in fused and not _turned_in(copy, mark):
            faced = [
                p.copy
                for s in table.seams
                if s.kind == "face" and s.b and any(p.copy == copy.id for p in s.a.parts)
                for p in s.b.parts
            ]
            if any(c in fused for c in faced):
                continue
            collector.warning(
                "hole-thin",
                step.where,
                f"the buttonholes of {ref} are cut in {copy.piece.name} with no interfacing under them",
                f"Cut {copy.piece.name} from interfacing too and fuse it, or turn its edge in wider.",
            )
            return


def _turned_in(copy: Copy, mark: ButtonMark) -> bool:
    """Whether an edge that is turned in reaches under the whole cut."""
    for half in copy.edges:
        path = half.edge.path
        if half.edge.hem_fold and all(
            abs(path.point(path.nearest(z)) - z) < half.edge.allow for z in mark.ends
        ):
            return True
    return False


def _room(step: RecipeStep, ref: str, row: Row, collector: Collector) -> None:
    """A cut lies in its piece; beyond the line lies at least half a button (ICAR household course, buttons)."""
    for copy, mark in row:
        points = copy.outline.flatten(0.5)
        net = shapely.Polygon([(z.real, z.imag) for z in points])
        if not all(net.contains(shapely.Point(z.real, z.imag)) for z in (mark.at, *mark.ends)):
            collector.error(
                "button-outside",
                step.where,
                f"a {mark.kind} of {ref} reaches beyond {copy.piece.name}",
                "Set the row further in, or take a smaller button.",
            )
            return
        room = net.exterior.distance(shapely.Point(mark.at.real, mark.at.imag))
        if room < mark.size / 2 - 0.5:
            collector.warning(
                "button-edge",
                step.where,
                f"a button of {ref}, {mark.size:.0f} mm across, lies {room:.1f} mm from the edge of {copy.piece.name}",
                f"Set it {mark.size / 2:.1f} mm or more inside.",
            )
            return


def _early(table: SeamTable, n: int, row: Row, consuming: tuple[str, ...], collector: Collector) -> None:
    """Buttons come when what carries them is complete."""
    mine = {c.id for c, _ in row}
    order = {s.id: k for k, s in enumerate(table.steps)}
    late = [
        s
        for s in table.seams
        if s.kind in consuming
        and order[s.step] > n
        and any(p.copy in mine for p in (*s.a.parts, *(s.b.parts if s.b else ())))
    ]
    if late:
        collector.warning(
            "buttons-early",
            table.steps[n].where,
            f"buttons are sewn here, before step '{late[0].step}' sews {late[0].a.text}",
            "Sew buttons when the piece that carries them is complete.",
        )
