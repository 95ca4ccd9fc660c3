"""What a booklet says, as plain data for other programs: `booklet facts STYLE --json`.

The same input gives the same data in the same order. Lengths are millimetres rounded to 0.01, areas mm² to 1, shares
to 0.0001; points are [x, y], x to the right, y down, as seen on the right side of the cloth. Missing is null.

    format    1; it is raised when a key changes its meaning or goes
    style     {code, title, version, dated, options: {name: choice}}
    body      {name, code}; of a range its base size
    base      the size that pictures and lay plans are of
    units     cm or in, as printed
    sizes     one entry a size made:
      size      its name
      measures  [{name, mm, given, rule, side}]        given: measured; else worked out by the style's rule
      pieces    [{number, name, title, extent, drawn_for, area_mm2, cut_area_mm2, grain, fold, laid_on_fold,
                 interfaced, marks, edges, trued, outline_mm, cut_line_mm, cut, copies}], by number
                 extent: half or whole, as the paper shows it; outlines, areas, edges and marks are the paper's
                 grain: [tail, head]; fold: the edge on the fold of a half, else null; laid_on_fold: on the cloth too
                 marks: [{name, kind, edge, at_mm, cut}], at_mm from the edge's start; cut: false = marked, not cut
                 edges: [{name, length_mm, sewn_mm, allowance_mm, hem_fold}], round the piece
                 trued: [{edge, why, before_mm, after_mm}], edges whose length shaping changed by drawing them true
                 cut: [{cloth, count, as, face, side, on_fold, trim_mm, fused, words}], as chart and label say it
                 copies: [{id, cloth, side, face, on_fold, fused, mirrored}], one for each ply
      seams     [{id, step, kind, side, sides, lengths_mm, difference_mm, allowances_mm, press, neaten, sections,
                 treatment, file, line}]; sides: the two runs as the recipe names them, one if treated alone
                 sections: [{from, to, lengths_mm, wanted_mm, open}]
      finished  [{name, title, body, body_mm, garment_mm, ease_mm, least_mm, intended_mm}]
      openings  the same, for what a part of the body passes
      cloths    [{cloth, title, width_mm, usable_mm, lay, length_mm, need_mm, buy, buy_mm, used, recommended, why,
                 bound_mm, proved, kept, placements}], the chosen width first; lay: open or fold; x runs along the cloth
                 bound_mm: no lay of this kind is shorter; proved: this one is no longer; kept: as lays.yaml has it
                 placements: [{piece, number, copies, mirrored, on_fold, spare, part, grain, outline_mm}]
                 part: of a piece cut in two, 1 or 2; of a whole one 0
      refused   [{cloth, width_mm, why}], widths on which a cloth cannot be laid
      widths    [{cloth, least_mm, savings, split_lay, one_way_mm, one_way_lay}]
                 least_mm: the width as sold under which its pieces do not fit
                 savings: [{way, lay, width_mm, buy_mm, less_mm, pieces}], way: kind, wider, turn or split; less_mm to
                 buy; pieces: of split, which are cut in two
                 split_lay: a lay with these in two parts; one_way_mm: to buy of the chosen width with a nap or a one-way
                 print; one_way_lay: a lay for that, null where the recommended one will do; both as in cloths
      notions   [{name, amount, unit, printed, working, workings}], working: a short note
      workings  [{what, line, terms, result, unit, rule}], the sums of cloths and of bias strips; line: the sum as printed,
                 terms: its numbers by name, lengths in mm, areas in mm2, thread in m
      estimates [{cloth, width_mm, buy_mm}], by area, widths of interfacing and lining that nothing is laid on
      steps     as below, of a range alone: each size's own words
    steps     [{number, id, operation, part, title, text, check, note, minutes, seams, pictures, by_size, file, line}]
              of a range as it is printed, for all sizes at once; by_size: [{letter, values}], what its letters stand for,
              a value a size, null where a size has none
    print     {paper, pages, tiles, first_tile_page, tile_names, left_out}
              tiles: number of full-scale pages; left_out: words on pieces that found no place
    problems  [{code, severity, file, line, what, mend}], warnings and notes
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from booklet.model import (
    ClothNeed,
    Copy,
    CutPiece,
    Finished,
    Job,
    LayPlan,
    NotchStroke,
    Placing,
    Seam,
    SizedResult,
    Step,
    Stretch,
    Working,
)
from booklet.pages.copy_words import copy_lines, recommended_lay
from booklet.pages.words import Words, words_for
from booklet.paths import Path, area
from booklet.problems import Problem
from booklet.units import show_cloth

FORMAT = 1
_FLAT = 0.05  # mm: outlines are given within this


@dataclass(frozen=True)
class Pages:
    """How a job came out on paper: pages in all, the physical number of the first full-scale page, and the names of
    those; `left_out` are words on pieces that found no place.
    """

    count: int
    first_tile: int
    tiles: tuple[str, ...]
    left_out: tuple[str, ...] = ()


def job_facts(job: Job, pages: Pages | None = None) -> dict[str, Any]:
    """Everything as the module's docstring lists it. Without `pages` the booklet's pages are made to be counted."""
    if pages is None:
        from booklet.write import print_booklet  # painting is brought in only where it is wanted

        pages = print_booklet(job).pages
    words = words_for(job.language, job.wording)
    style = job.style
    return {
        "format": FORMAT,
        "style": {
            "code": style.code,
            "title": style.title,
            "version": style.version,
            "dated": style.dated,
            "options": {name: choice for name, choice, _ in style.options},
        },
        "body": {"name": job.size.body_name, "code": job.size.body_code},
        "base": job.size.size,
        "units": job.units,
        "sizes": [_size(size, job, words) | _own_steps(job, n) for n, size in enumerate(job.sizes)],
        "steps": [_step(step) for step in job.steps],
        "print": {
            "paper": job.paper,
            "pages": pages.count,
            "tiles": len(pages.tiles),
            "first_tile_page": pages.first_tile,
            "tile_names": list(pages.tiles),
            "left_out": list(pages.left_out),
        },
        "problems": [problem_facts(p) for p in job.problems if isinstance(p, Problem)],
    }


def problem_facts(problem: Problem) -> dict[str, Any]:
    return {
        "code": problem.code,
        "severity": problem.severity,
        "file": problem.where.file if problem.where else None,
        "line": problem.where.line if problem.where else None,
        "what": problem.what,
        "mend": problem.mend,
        "although": problem.although,
    }


# ---------------------------------------------------------------- one size


def _size(size: SizedResult, job: Job, words: Words) -> dict[str, Any]:
    cuts = sorted(size.cut_pieces, key=lambda c: c.piece.number)
    return {
        "size": size.size,
        "measures": [
            {"name": m.name, "mm": _mm(m.mm), "given": m.given, "rule": m.rule or None, "side": m.side}
            for m in size.measures
        ],
        "pieces": [_piece(cut, size, words) for cut in cuts],
        "seams": [_seam(seam) for seam in size.seams],
        "finished": [_finished(f) for f in size.finished],
        "openings": [_finished(f) for f in size.openings],
        "cloths": [_lay(need, lay, size, job.units) for need in size.cloths for lay in need.lays],
        "refused": [
            {"cloth": need.key, "width_mm": _mm(width), "why": why}
            for need in size.cloths
            for width, why in need.refusals
        ],
        "widths": [_width(need, size, job.units) for need in size.cloths],
        "notions": [
            {
                "name": n.name,
                "amount": round(n.amount, 2),
                "unit": n.unit,
                "printed": n.printed,
                "working": n.working,
                "workings": [_working(w) for w in n.workings],
            }
            for n in size.notions
        ],
        "workings": [
            _working(w) for w in (*(w for need in size.cloths for w in need.workings), *size.workings)
        ],
        "estimates": [
            {"cloth": need.key, "width_mm": _mm(width), "buy_mm": _mm(buy)}
            for need in size.cloths
            for width, buy in need.estimates
        ],
    }


def _working(working: Working) -> dict[str, Any]:
    return {
        "what": working.what,
        "line": working.line,
        "terms": {name: round(value, 4) for name, value in working.terms},
        "result": round(working.result, 2),
        "unit": working.unit,
        "rule": working.rule,
    }


def _piece(cut: CutPiece, size: SizedResult, words: Words) -> dict[str, Any]:
    piece = cut.piece
    lines = copy_lines(cut, size, words)
    first, *rest = cut.paper_net
    net = first.path.joined(*(e.path for e in rest))
    return {
        "number": piece.number,
        "name": piece.key,
        "title": piece.heading,
        "extent": cut.extent,
        "drawn_for": piece.drawn_for,
        "area_mm2": _area(net),
        "cut_area_mm2": _area(cut.paper_cut),
        "grain": [_point(z) for z in piece.grain],
        "fold": piece.fold if cut.extent == "half" else None,
        "laid_on_fold": any(line.fold for line in lines),
        "interfaced": next((r.cloth for r in piece.cuts if r.fused), None),
        "marks": [_mark(n, cut) for n in cut.paper_notches],
        "edges": [
            {
                "name": e.name,
                "length_mm": _mm(e.length),
                "sewn_mm": _mm(e.sewn_length),
                "allowance_mm": _mm(e.allow),
                "hem_fold": e.hem_fold,
            }
            for e in cut.paper_net
        ],
        "trued": [
            {"edge": t.edge, "why": t.what, "before_mm": _mm(t.before), "after_mm": _mm(t.after)}
            for t in piece.trueings
        ],
        "outline_mm": _points(net),
        "cut_line_mm": _points(cut.paper_cut),
        "cut": [
            {
                "cloth": line.cloth,
                "count": line.count,
                "as": line.how,
                "face": line.face,
                "side": line.side,
                "on_fold": line.fold,
                "trim_mm": None if line.trim is None else _mm(line.trim),
                "fused": line.fused,
                "words": line.words,
            }
            for line in lines
        ],
        "copies": [_copy(c, size) for c in size.copies if c.piece.key == piece.key],
    }


def _mark(notch: NotchStroke, cut: CutPiece) -> dict[str, Any]:
    """A mark on an edge as the paper names it: of an opened edge the half that the paper shows."""
    names = [e.name for e in cut.paper_net]
    name = notch.edge if notch.edge in names else notch.edge.rpartition(".")[0]
    edge = next((e for e in cut.paper_net if e.name == name), None)
    at = notch.mark.at
    own = edge.mark(notch.mark.name) if edge is not None else None
    if own is not None:
        at = own.at
    elif edge is not None and (
        cut.extent == "half" or at == 0.0
    ):  # counted on the opened edge, or not at all
        points = [z for stroke in notch.strokes for z in stroke]
        at = edge.path.nearest(sum(points) / len(points))
    return {
        "name": notch.mark.name,
        "kind": notch.mark.kind,
        "edge": name or notch.edge,
        "at_mm": _mm(at),
        "cut": notch.cut,
    }


def _copy(copy: Copy, size: SizedResult) -> dict[str, Any]:
    """A ply as it is laid: on the fold or not is read from the recommended lay itself."""
    lay = recommended_lay(size, copy.cloth)
    put = next((p for p in lay.placings if copy.id in p.copies), None) if lay else None
    return {
        "id": copy.id,
        "cloth": copy.cloth,
        "side": copy.side,
        "face": copy.face,
        "on_fold": put.on_fold if put else None,
        "fused": copy.host is not None,
        "mirrored": copy.placing.mirrored,
    }


def _seam(seam: Seam) -> dict[str, Any]:
    runs = [seam.a] if seam.b is None else [seam.a, seam.b]
    return {
        "id": seam.id,
        "step": seam.step,
        "kind": seam.kind,
        "side": seam.side,
        "sides": [run.text for run in runs],
        "lengths_mm": _both(seam.a_mm, seam.b_mm),
        "difference_mm": _mm(seam.difference),
        "allowances_mm": _both(seam.allow_a, seam.allow_b),
        "press": seam.press,
        "neaten": seam.neaten,
        "sections": [_section(s) for s in seam.sections],
        "treatment": seam.treatment,
        "file": seam.where.file,
        "line": seam.where.line,
    }


def _section(section: Stretch) -> dict[str, Any]:
    return {
        "from": section.start,
        "to": section.end,
        "lengths_mm": _both(section.a_mm, section.b_mm),
        "wanted_mm": None if section.wanted is None else _mm(section.wanted),
        "open": section.open,
    }


def _finished(measure: Finished) -> dict[str, Any]:
    def mm(value: float | None) -> float | None:
        return None if value is None else _mm(value)

    return {
        "name": measure.name,
        "title": measure.title,
        "body": measure.body_name,
        "body_mm": mm(measure.body_mm),
        "garment_mm": mm(measure.garment_mm),
        "ease_mm": mm(measure.ease_mm),
        "least_mm": mm(measure.least_mm),
        "intended_mm": mm(measure.intended_mm),
    }


def _lay(need: ClothNeed, lay: LayPlan, size: SizedResult, units: Literal["cm", "in"]) -> dict[str, Any]:
    return {
        "cloth": need.key,
        "title": need.title,
        "width_mm": _mm(lay.width_mm),
        "usable_mm": _mm(lay.usable_mm),
        "lay": lay.kind,
        "length_mm": _mm(lay.length_mm),
        "need_mm": _mm(lay.need_mm),
        "buy": show_cloth(lay.buy_mm, units),
        "buy_mm": _mm(lay.buy_mm),
        "used": round(lay.used, 4),
        "recommended": lay.recommended,
        "why": lay.why,
        "bound_mm": _mm(lay.bound_mm),
        "proved": lay.proved,
        "kept": lay.kept,
        "placements": [_placing(p, size) for p in lay.placings],
    }


def _width(need: ClothNeed, size: SizedResult, units: Literal["cm", "in"]) -> dict[str, Any]:
    def told(lay: LayPlan | None) -> dict[str, Any] | None:
        return None if lay is None else _lay(need, lay, size, units)

    savings = [
        {
            "way": s.way,
            "lay": s.lay,
            "width_mm": _mm(s.width_mm),
            "buy_mm": _mm(s.buy_mm),
            "less_mm": _mm(s.less_mm),
            "pieces": list(s.pieces),
        }
        for s in need.savings
    ]
    return {
        "cloth": need.key,
        "least_mm": None if need.least_mm is None else _mm(need.least_mm),
        "savings": savings,
        "split_lay": told(need.split_lay),
        "one_way_mm": None if need.one_way_mm is None else _mm(need.one_way_mm),
        "one_way_lay": told(need.one_way_lay),
    }


def _placing(placing: Placing, size: SizedResult) -> dict[str, Any]:
    return {
        "piece": placing.piece,
        "number": size.cut_piece(placing.piece).piece.number,
        "copies": list(placing.copies),
        "mirrored": placing.mirrored,
        "on_fold": placing.on_fold,
        "spare": placing.spare,
        "part": placing.part,
        "grain": [_point(z) for z in placing.grain],
        "outline_mm": _points(placing.outline),
    }


# ---------------------------------------------------------------- steps


def _own_steps(job: Job, n: int) -> dict[str, Any]:
    return {"steps": [_step(step) for step in job.sized_steps[n]]} if job.nested else {}


def _step(step: Step) -> dict[str, Any]:
    return {
        "number": step.number,
        "id": step.id,
        "operation": step.operation,
        "part": step.part,
        "title": step.title,
        "text": "\n".join(step.text),
        "check": step.check,
        "note": step.note,
        "minutes": step.minutes,
        "seams": list(step.seams),
        "pictures": [p.kind for p in step.pictures],
        "by_size": [{"letter": r.letter, "values": [v or None for v in r.values]} for r in step.by_size],
        "file": step.where.file,
        "line": step.where.line,
    }


# ---------------------------------------------------------------- figures


def _mm(value: float) -> float:
    return round(float(value), 2) + 0.0  # no minus before a zero


def _point(z: complex) -> list[float]:
    return [_mm(z.real), _mm(z.imag)]


def _points(path: Path) -> list[list[float]]:
    """A closed line's corners, the first not told again at the end."""
    points = [_point(complex(z)) for z in path.flatten(_FLAT)]
    told = [p for n, p in enumerate(points) if n == 0 or p != points[n - 1]]
    return told[:-1] if len(told) > 1 and told[0] == told[-1] else told


def _area(path: Path) -> float:
    return float(round(abs(area(np.asarray(path.flatten(_FLAT))))))


def _both(a: float, b: float | None) -> Sequence[float]:
    return [_mm(a)] if b is None else [_mm(a), _mm(b)]


# ---------------------------------------------------------------- a short overview


def overview(told: dict[str, Any]) -> Iterator[str]:
    """The main facts in lines for a terminal."""
    style, pages = told["style"], told["print"]
    size = next(s for s in told["sizes"] if s["size"] == told["base"])
    chosen = ", ".join(f"{name}: {choice}" for name, choice in style["options"].items())
    yield f"{style['code']} {style['title']}, version {style['version']}" + (f" ({chosen})" if chosen else "")
    if len(told["sizes"]) > 1:
        yield f"sizes {', '.join(s['size'] for s in told['sizes'])}; here size {size['size']}"
    else:
        yield f"for {told['body']['name']}, size {size['size']}"
    yield f"{pages['pages']} pages {pages['paper']}, {pages['tiles']} of them full-scale; {len(told['steps'])} steps"
    yield ""
    for piece in size["pieces"]:
        cut = "; ".join(f"{line['cloth']}: {line['words']}" for line in piece["cut"])
        yield f"piece {piece['number']} {piece['title']}: {cut}"
    yield ""
    for row in size["finished"]:
        ease = (
            "" if row["ease_mm"] is None else f", body {row['body_mm']:.0f} mm, ease {row['ease_mm']:.0f} mm"
        )
        yield f"{row['title']}: {row['garment_mm']:.0f} mm{ease}"
    yield ""
    for row in size["cloths"]:
        best = (", kept" if row["kept"] else "") + (", recommended" if row["recommended"] else "")
        yield (
            f"{row['title']}, {row['width_mm'] / 10:.0f} cm wide, {row['lay']} lay: buy {row['buy']}, "
            f"{row['used'] * 100:.0f} % used{best}"
        )
    for row in size["notions"]:
        yield f"{row['name']}: {row['printed']}"
