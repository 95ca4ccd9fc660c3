"""What is missing between recipe, plies and lists: open rings, soft edges, elastic that does not draw in, notions, ends."""

from __future__ import annotations

import re
from collections.abc import Mapping

from booklet.model import Copy, Part, Seam
from booklet.problems import Collector, nearest
from booklet.reading.yaml_source import Source
from booklet.seams.table import RecipeStep, SeamTable
from booklet.sewing.corners import corners_of
from booklet.sewing.elastic import Elastic, casing_depth
from booklet.sewing.operations.acts import NEARLY

ZIP_ROOM = 12.0  # mm of allowance that a zip's tape lies on (common practice: 15 to 20 mm, no source)
CAUGHT = 1.5  # mm: as far as two seams are equal
CLEAR = 3.0  # mm that a casing is wider than its elastic (common practice: 3 to 6 mm, no source)
# What a promised end state needs to have been done to the whole edge.
STATES = {
    "finished": ("finish", "hem", "bind", "casing", "face", "band", "join"),
    "hemmed": ("hem", "casing"),
    "faced": ("face",),
    "bound": ("bind",),
    "gathered": ("gather",),
    "staystitched": ("staystitch",),
    "understitched": ("understitch",),
    "topstitched": ("topstitch",),
    "tacked": ("tack",),
    "pressed": ("press",),
}


def check_gaps(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    by_id = {c.id: c for c in copies}
    collars = [s.id for s in table.steps if s.verb == "collar"]
    for seam in table.seams:
        _rings(seam, collector)
        _soft(seam, by_id, copies, collector)
        _depth(seam, by_id, collector)
        _zip_room(seam, collector)
        if seam.step not in collars:  # its two sides lie face to face: left ends meet right ones
            _sides(seam, by_id, collector)
    _turned(table, collector)
    _caught(table, collector)
    _clipped(table, by_id, collector)
    _facings(table, copies, collector)
    _closings(table, copies, collector)


def _rings(seam: Seam, collector: Collector) -> None:
    """What comes round is sewn to what comes round."""
    if seam.b is None or seam.kind == "zip" or seam.a.closed == seam.b.closed:
        return
    ring, flat = (seam.a, seam.b) if seam.a.closed else (seam.b, seam.a)
    collector.error(
        "ring-open",
        seam.where,
        f"{flat.text} is not a closed ring yet, and {ring.text}, which is sewn to it, is",
        f"Sew the seam that closes {flat.text} in an earlier step.",
    )


def _soft(seam: Seam, by_id: Mapping[str, Copy], copies: tuple[Copy, ...], collector: Collector) -> None:
    """A faced edge or a band has interfacing on one of its sides."""
    if seam.kind not in ("face", "band") or seam.b is None:
        return
    fused = {c.host for c in copies}
    bare = [
        key
        for part in seam.b.parts
        if part.copy not in fused and not _faces_fused(seam, fused)
        for key in (by_id[part.copy].piece.name,)
    ]
    for key in dict.fromkeys(bare):
        what = "the facing" if seam.kind == "face" else "the band"
        collector.warning(
            "soft-edge",
            seam.where,
            f"{what} {key} has no interfacing, nor has what it is sewn to: the edge stretches and goes limp",
            f"Cut {key} from interfacing too and fuse it, or say why not: `although:`.",
        )


def _faces_fused(seam: Seam, fused: set[str | None]) -> bool:
    return seam.kind == "face" and all(p.copy in fused for p in seam.a.parts)


def _zip_room(seam: Seam, collector: Collector) -> None:
    if seam.kind == "zip" and seam.allow_b is not None and min(seam.allow_a, seam.allow_b) < ZIP_ROOM:
        collector.warning(
            "zip-narrow",
            seam.where,
            f"the zip is sewn to allowances of {min(seam.allow_a, seam.allow_b):.1f} mm; it takes {ZIP_ROOM:.0f} mm",
            "Give that edge a wider `allow:`.",
        )


def _depth(seam: Seam, by_id: Mapping[str, Copy], collector: Collector) -> None:
    """What is turned up in one run, or goes into one band, has one allowance."""
    if seam.kind not in ("hem", "casing", "band"):
        return
    depths = {p: by_id[p.copy].by_name[p.edge].edge.allow for p in seam.a.parts}
    least, most = min(depths, key=lambda p: depths[p]), max(depths, key=lambda p: depths[p])
    if depths[most] - depths[least] > 0.5:
        names = [f"{by_id[p.copy].piece.name}.{by_id[p.copy].by_name[p.edge].base}" for p in (most, least)]
        collector.error(
            "allowances" if seam.kind == "band" else "hem-depth",
            seam.where,
            f"{names[0]} has {depths[most]:.1f} mm allowance and {names[1]} {depths[least]:.1f} mm, in one {seam.kind}",
            "Give both the same `allow:`.",
        )


def _sides(seam: Seam, by_id: Mapping[str, Copy], collector: Collector) -> None:
    """A facing lies on its edge's side of the wearer; so does what a seam joins, unless it is a centre seam."""
    if seam.b is None or seam.kind not in ("join", "face"):
        return
    runs = [[(by_id[p.copy], by_id[p.copy].by_name[p.edge]) for p in run.parts] for run in (seam.a, seam.b)]
    sides = [dict.fromkeys(h.side if c.side == "whole" else c.side for c, h in run) for run in runs]
    names = [{(c.piece.name, h.base) for c, h in run} for run in runs]
    if (
        any(len(s) != 1 or "whole" in s for s in sides)
        or list(sides[0]) == list(sides[1])
        or names[0] == names[1]
    ):
        return
    code, add = ("facing-side", collector.error) if seam.kind == "face" else ("two-sides", collector.warning)
    add(
        code,
        seam.where,
        f"{seam.a.text} lies on the wearer's {next(iter(sides[0]))} and {seam.b.text} on the {next(iter(sides[1]))}",
        "Correct `side:` in the piece's cut:, or name the other side.",
    )


def _turned(table: SeamTable, collector: Collector) -> None:
    """A facing and a tie are turned, in their own step or in the one that understitches."""
    for step in table.steps:
        if step.verb in ("face", "tie") and table.of_step(step.id) and "turn" not in _done(step, table):
            what = "the facing is" if step.verb == "face" else "the pieces are"
            collector.error(
                "not-turned",
                step.where,
                f"{what} sewn on here and never turned"
                if step.verb == "face"
                else f"{what} sewn and never turned",
                "Write turn in the step's `then:`, or in that of the step that understitches it.",
            )


def _clipped(table: SeamTable, by_id: Mapping[str, Copy], collector: Collector) -> None:
    """A faced corner that goes in is clipped before it is turned."""
    for step in (s for s in table.steps if s.verb == "face"):
        for seam in (s for s in table.of_step(step.id)[:1] if s.kind == "face"):
            if any(c.inward for c in corners_of(seam.a, by_id)) and "clip" not in _done(step, table):
                collector.warning(
                    "corner-unclipped",
                    step.where,
                    f"{seam.a.text} has a corner that goes in, and its allowances are never clipped: they hold it back",
                    "Write clip in the step's `then:`.",
                )


def _caught(table: SeamTable, collector: Collector) -> None:
    """What lies between an edge and its facing or band is no longer than that edge."""
    for step in table.steps:
        seams = table.of_step(step.id)
        for caught in (s for s in seams if s.kind == "catch"):
            room = [s for s in seams if s.kind in ("face", "band") and s.side in (caught.side, "whole")]
            room = room or [s for s in seams if s.kind in ("face", "band")]
            long = max((s.a_mm for s in room), default=0.0)
            if room and caught.a_mm > long + CAUGHT:
                collector.error(
                    "catch-long",
                    step.where,
                    f"{caught.a.text}, which is caught between, is {caught.a_mm:.1f} mm and {room[0].a.text} only "
                    f"{long:.1f} mm long",
                    "Name the part of it that lies between, as EDGE[MARK..MARK], or correct the draft.",
                )


def check_grading(table: SeamTable, from_mm: float, collector: Collector) -> None:
    """Grading is asked only of allowances that have room for it. `from_mm`: the shop's least."""
    for step in table.steps:
        if "grade" not in [str(a) for a in step.raw.get("then") or ()]:
            continue
        ref = str(step.spec.get("seam", "")) if isinstance(step.spec, Mapping) else ""
        allows = [a for s in table.of_step(ref or step.id) for a in (s.allow_a, s.allow_b) if a is not None]
        if allows and min(allows) < NEARLY * from_mm:
            collector.warning(
                "grade-narrow",
                step.where,
                f"allowances of {min(allows):.1f} mm are asked to be graded; that takes {from_mm:.0f} mm",
                "Write trim or clip instead, or give the edge a wider `allow:`.",
            )


def _facings(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """Each edge that is faced has the facing that was drawn from its own piece."""
    pieces = {c.piece.name: c.piece for c in copies}
    for step in table.steps:
        if step.verb != "face" or not isinstance(step.spec, Mapping):
            continue
        faced, facings = (
            [name for name in _pieces_of(step.spec.get(key)) if name in pieces] for key in ("edge", "with")
        )
        parents = [f.parent for name in facings if (f := pieces[name].facing)]
        if len(parents) < len(facings):
            continue  # a facing drawn on its own
        for name in dict.fromkeys(n for n in faced if n not in parents):
            collector.error(
                "facing-other",
                step.where,
                f"{name} is faced here with {' and '.join(facings)}, which {'is' if len(facings) == 1 else 'are'} "
                f"drawn from {' and '.join(dict.fromkeys(parents))}",
                f"Draw a facing of {name}: `facing: {{of: {name}, ...}}`.",
            )


def _pieces_of(run: object) -> list[str]:
    """The pieces of a run's text."""
    return list(dict.fromkeys(re.findall(r"(\w+)\.", re.sub(r"\[[^\]]*\]|\.(left|right)\b", "", str(run)))))


def _closings(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    """A slit that closes with a button and a loop has both."""
    for copy in (c for c in copies if c.host is None):
        for opening in copy.openings:
            ref = f"{copy.piece.name}.{opening.name}"
            words = [w for w in ("button", "loop") if w in opening.closes.split()]
            steps = {
                w: next((s for s in table.steps if s.verb == w and str(s.spec.get("at")) == ref), None)
                for w in words
            }
            made = next((s for s in steps.values() if s), None)
            for word in (w for w, s in steps.items() if s is None):
                collector.error(
                    "closing-unmade",
                    made.where if made else copy.piece.where,
                    f"{ref} closes with {opening.closes}, and no step makes the {word}",
                    f"Add a step `{word}: {{at: {ref}, ...}}`.",
                )


# ---------------------------------------------------------------- elastic


def check_elastics(
    table: SeamTable, elastics: Mapping[str, Elastic], copies: tuple[Copy, ...], collector: Collector
) -> None:
    """The elastic draws its edge in, stretches out to it, and fits into its casing."""
    by_id = {c.id: c for c in copies}
    for step in table.steps:
        elastic = elastics.get(step.id)
        for seam in table.of_step(step.id)[:1] if elastic else ():
            assert elastic is not None
            flat = seam.a_mm
            if elastic.relaxed > flat - 1.0:
                collector.error(
                    "elastic-long",
                    step.where,
                    f"the elastic is {elastic.relaxed:.0f} mm, its casing only {flat:.0f} mm: it draws nothing in",
                    "Ask for less elastic (less:), or widen the edge in the draft.",
                )
            elif elastic.relaxed > elastic.body:
                collector.error(
                    "elastic-loose",
                    step.where,
                    f"the elastic is {elastic.relaxed:.0f} mm and {elastic.fits.replace('_', ' ')} {elastic.body:.0f} mm: "
                    "it does not hold",
                    "Write a share of 0 % or more in less:.",
                )
            if elastic.stretch <= 0:
                collector.error(
                    "elastic-stiff",
                    step.where,
                    "the elastic does not stretch",
                    "Write in stretch: how much longer than relaxed it can be drawn, such as 80 %.",
                )
            wide = _casing_wide(seam, str(step.spec.get("along", "")), by_id)
            if wide is not None and wide < elastic.wide + CLEAR - 0.05:
                collector.error(
                    "casing-narrow",
                    step.where,
                    f"the casing is {wide:.1f} mm wide, the elastic {elastic.wide:.1f} mm: it takes "
                    f"{CLEAR:.0f} mm more to pass",
                    f"Take narrower elastic, or set the fold line {elastic.wide + CLEAR:.0f} mm from the edge and allow "
                    f"{casing_depth(elastic.wide, CLEAR, max(seam.allow_a - wide, 0.0)):.0f} mm with what is turned under.",
                )


def _casing_wide(seam: Seam, along: str, copies: Mapping[str, Copy]) -> float | None:
    """From the edge to the fold line at the edge's middle, mm."""
    key, _, name = along.partition(".")
    for part in seam.a.parts:
        copy = copies[part.copy]
        if copy.piece.name != key:
            continue
        path = copy.by_name[part.edge].edge.path
        middle = path.point(path.length / 2)
        far = [abs(f.path.point(f.path.nearest(middle)) - middle) for f in copy.fold_lines if f.name == name]
        if far:
            return min(far)
    return None


# ---------------------------------------------------------------- promised ends


def check_ends(table: SeamTable, copies: tuple[Copy, ...], style: Source, collector: Collector) -> None:
    """`ends:` of style.yaml, edge by edge: after the last step each is in the state promised for it."""
    edges = {f"{c.piece.name}.{h.base}": (c, h) for c in copies if c.host is None for h in c.edges}
    for name, state in (style.data.get("ends") or {}).items():
        if name not in edges:
            piece = str(name).split(".")[0]
            if not any(k.startswith(f"{piece}.") for k in edges):
                continue  # a piece of other options
            collector.error(
                "unknown-edge",
                style.where("ends", name),
                f"ends: there is no edge '{name}'",
                nearest(str(name), edges).strip(),
            )
            continue
        if not _reached(table, name, str(state), copies):
            copy, half = edges[name]
            last = [s for s in table.seams if any(_is(p, copy.id, half.name) for p in _parts(s))]
            at = f"; the last step at it is '{last[-1].step}'" if last else ""
            collector.error(
                "end-unmet",
                last[-1].where if last else copy.piece.where,
                f"{name} is promised to be {state}, and no step does that{at}",
                "Add the step, or change `ends:` in style.yaml.",
            )


def _parts(seam: Seam) -> tuple[Part, ...]:
    return (*seam.a.parts, *(seam.b.parts if seam.b else ()))


def _is(part: Part, copy: str, edge: str) -> bool:
    return (part.copy, part.edge) == (copy, edge)


def _reached(table: SeamTable, name: str, state: str, copies: tuple[Copy, ...]) -> bool:
    wanted = STATES[state]
    mine = [
        (c.id, h.name)
        for c in copies
        if c.host is None
        for h in c.edges
        if f"{c.piece.name}.{h.base}" == name
    ]
    done = {step.id: _done(step, table) for step in table.steps}
    return all(
        any(
            set(wanted) & {s.kind, *done[s.step], *_pressed(s)} and any(_is(p, *m) for p in _parts(s))
            for s in table.seams
        )
        for m in mine
    )


def _pressed(seam: Seam) -> tuple[str, ...]:
    """A seam that is pressed one way or open, and an edge that is turned up, are pressed by their own step."""
    return ("press",) if seam.press in ("open", "up", "to a", "to b") else ()


def _done(step: RecipeStep, table: SeamTable) -> tuple[str, ...]:
    """The acts on a step's seams: its own `then:`, and the understitching of a later step that names it."""
    later = [s for s in table.steps if s.verb == "understitch" and step.id in str(s.spec)]
    acts = [str(a) for s in (step, *later) for a in s.raw.get("then") or ()]
    above = [s for s in table.steps if s.verb in ("topstitch", "edgestitch") and step.id in map(str, s.spec)]
    return tuple(acts + ["understitch"] * bool(later) + ["topstitch"] * bool(above))
