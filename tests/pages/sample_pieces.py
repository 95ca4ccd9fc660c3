"""The pieces of the sample job, drawn and cut out by hand: no drafting, no cutting stage."""

from __future__ import annotations

from dataclasses import replace

from booklet.model import (
    Copy,
    CutPiece,
    CutRule,
    Dart,
    Edge,
    FacingOf,
    FoldLine,
    Half,
    Mark,
    NotchStroke,
    Piece,
)
from booklet.paths import Path, Placement
from booklet.problems import Where

HERE = Where("styles/sample/draft.yaml", 1)
MIRROR = Placement.mirror(0j, 1j)


def _curve(a: complex, b: complex, c: complex, d: complex) -> Path:
    return Path(((a, b, c, d),))


def _line(*points: complex) -> Path:
    return Path.polyline(points)


# ---------------------------------------------------------------- pieces


def front_piece() -> Piece:
    pit, neck, tip, under, hem_side, hem = 120j, 95 + 25j, 180 + 55j, 245 + 230j, 270 + 600j, 610j
    edges = (
        Edge("neckline", _curve(pit, 50 + 120j, 85 + 75j, neck), 10, marks=(Mark("centre", "snip", 0.0),)),
        Edge("shoulder", _line(neck, tip), 12),
        Edge(
            "armhole",
            _curve(tip, 165 + 130j, 175 + 225j, under),
            10,
            marks=(Mark("front_notch", "single", 120.0),),
        ),
        Edge("side", _line(under, hem_side), 12, marks=(Mark("side_notch", "single", 180.0),)),
        Edge("hem", _curve(hem_side, 180 + 606j, 90 + 610j, hem), 25, hem_fold=True),
        Edge("centre", _line(hem, pit), 0),
    )
    return Piece(
        key="front",
        number=1,
        title="Front",
        drawn_for="left",
        edges=edges,
        where=HERE,
        fold="centre",
        grain=(560j, 200j),
        cuts=(CutRule("main", 1, "whole on fold", "either", "whole"),),
        levels=(("bust", 230.0), ("hem", 600.0)),
    )


def facing_piece() -> Piece:
    neckline = front_piece().edges[0].path.placed(MIRROR)  # right sides together: its own mirror image
    a, b = neckline.start, neckline.end
    outer_end, outer_start = 177j, -133 + 39j
    edges = (
        Edge("neckline", neckline.reversed(), 10),
        Edge("centre", _line(a, outer_end), 0),
        Edge("outer", _curve(outer_end, -70 + 177j, -112 + 100j, outer_start), 0),
        Edge("shoulder", _line(outer_start, b), 12),
    )
    return Piece(
        key="front_neck_facing",
        number=2,
        title="Front neck facing",
        drawn_for="right",
        edges=edges,
        where=HERE,
        fold="centre",
        grain=(170j, 130j),
        cuts=(
            CutRule("main", 1, "whole on fold", "either", "whole"),
            CutRule("interfacing", 1, "whole on fold", "either", "whole", trim=0.0, fused=True),
        ),
        facing=FacingOf("front", ("neckline",), MIRROR),
    )


def sleeve_piece() -> Piece:
    bu, fu, fh, bh, top = -200 + 150j, 200 + 150j, 190 + 300j, -190 + 300j, 0j
    head = _curve(bu, -110 + 150j, -95 + 0j, top).joined(_curve(top, 95 + 0j, 110 + 150j, fu))
    marks = (
        Mark("back_notch", "double", 90.0),
        Mark("top", "single", head.length / 2),
        Mark("front_notch", "single", head.length - 75.0),
    )
    edges = (
        Edge("head", head, 10, marks=marks),
        Edge("front_seam", _line(fu, fh), 12),
        Edge("lower", _line(fh, bh), 25, called="sleeve end", hem_fold=True),
        Edge("back_seam", _line(bh, bu), 12),
    )
    return Piece(
        key="sleeve",
        number=3,
        title="Sleeve",
        drawn_for="right",
        edges=edges,
        where=HERE,
        grain=(270j, 40j),
        cuts=(CutRule("main", 2, "pair", "either", "right"),),
        fold_lines=(FoldLine("casing line", _line(-191.3 + 280j, 191.3 + 280j)),),
    )


def panel_piece() -> Piece:
    edges = (
        Edge("waist", _curve(0j, 60 + 8j, 110 + 6j, 170 - 6j), 10),
        Edge("side", _line(170 - 6j, 200 + 420j), 15, marks=(Mark("hip_notch", "single", 180.0),)),
        Edge("hem", _line(200 + 420j, 90 + 425j), 30, hem_fold=True),
        Edge("wrap_edge", _curve(90 + 425j, 40 + 390j, 0 + 330j, 0j), 10),
    )
    a, b = edges[0].path.nearest(98 + 6j), edges[0].path.nearest(116 + 5j)
    dart = Dart(
        "dart", "waist", edges[0].path.point(a), 106 + 95j, edges[0].path.point(b), b - a, True, "to centre"
    )
    return Piece(
        key="panel",
        number=4,
        title="Right panel (over)",
        drawn_for="right",
        edges=edges,
        where=HERE,
        grain=(350j + 70, 60j + 70),
        cuts=(CutRule("main", 1, "single", "up", "right"),),
        darts=(dart,),
        lines_across=(FoldLine("centre", _line(60 + 5j, 60 + 424j)),),
    )


def band_piece() -> Piece:
    w, h = 330.0, 76.0
    edges = (
        Edge("upper", _line(0j, w + 0j), 12),
        Edge("front_end", _line(w + 0j, w + h * 1j), 12),
        Edge("under", _line(w + h * 1j, h * 1j), 12),
        Edge("back_end", _line(h * 1j, 0j), 12),
    )
    return Piece(
        key="cuff",
        number=5,
        title="Cuff",
        drawn_for="right",
        edges=edges,
        where=HERE,
        grain=(60 + 20j, 270 + 20j),
        cuts=(
            CutRule("main", 2, "same", "either", "whole"),
            CutRule("interfacing", 2, "same", "either", "whole", trim=0.0, fused=True),
        ),
        fold_lines=(FoldLine("fold", _line(h / 2 * 1j, w + h / 2 * 1j)),),
    )


# ---------------------------------------------------------------- cut outlines


def _offset(edge: Edge) -> list[complex]:
    pts = [complex(p) for p in edge.path.flatten(0.05)]
    out = []
    for i, p in enumerate(pts):
        a = pts[i] - pts[i - 1] if i else pts[1] - pts[0]
        b = pts[i + 1] - pts[i] if i + 1 < len(pts) else a
        mean = a / abs(a) + b / abs(b)
        mean /= abs(mean)
        cosine = (mean * (b / abs(b)).conjugate()).real
        out.append(p - 1j * mean * edge.allow / cosine)
    return out


def _meet(p: complex, d: complex, q: complex, e: complex) -> complex:
    cross = (d.conjugate() * e).imag
    return (p + q) / 2 if abs(cross) < 1e-9 else p + d * ((q - p).conjugate() * e).imag / cross


def _cut(edges: tuple[Edge, ...]) -> Path:
    runs = [_offset(e) for e in edges]
    for i, run in enumerate(runs):
        nxt = runs[(i + 1) % len(runs)]
        run[-1] = nxt[0] = _meet(run[-1], run[-1] - run[-2], nxt[0], nxt[1] - nxt[0])
    points = [p for run in runs for p in run[:-1]]
    return Path.polyline(points, closed=True)


def _strokes(edges: tuple[Edge, ...]) -> tuple[NotchStroke, ...]:
    out = []
    for edge in edges:
        for mark in edge.marks:
            n = edge.path.normal(min(max(mark.at, 0.1), edge.length - 0.1))
            z = edge.path.point(mark.at)
            cut = edge.allow > 0
            deep = min(6.0, edge.allow / 2)
            ends = (z + n * edge.allow, z + n * (edge.allow - deep)) if cut else (z, z - 3 * n)
            step = edge.path.tangent(mark.at) * 2
            many = (ends, (ends[0] + step, ends[1] + step)) if mark.kind == "double" else (ends,)
            out.append(NotchStroke(mark, edge.name, many, cut))
    return tuple(out)


def _whole(piece: Piece) -> tuple[Half, ...]:
    """The ring of the opened piece, clockwise; for a fold piece the drawn half and then its mirror image."""
    if not piece.half:
        return tuple(Half(e, e.name, piece.drawn_for) for e in piece.edges)
    at = next(i for i, e in enumerate(piece.edges) if e.name == piece.fold)
    own = piece.edges[at + 1 :] + piece.edges[:at]
    drawn, other = piece.drawn_for, "left" if piece.drawn_for == "right" else "right"
    first = [Half(replace(e, name=f"{e.name}.{drawn}"), e.name, drawn) for e in own]
    second = []
    for e in reversed(own):
        path = e.path.placed(MIRROR).reversed()
        marks = tuple(replace(m, at=e.length - m.at) for m in e.marks)
        second.append(Half(replace(e, name=f"{e.name}.{other}", path=path, marks=marks), e.name, other))
    return tuple(first + second)


def cut_piece_of(piece: Piece, whole_paper: bool = False) -> CutPiece:
    net = _whole(piece)
    ring = tuple(h.edge for h in net)
    as_half = piece.half and not whole_paper
    paper = piece.edges if as_half else ring
    stitch = ring[0].path.joined(*(e.path for e in ring[1:]))
    runs = tuple((e.name, Path.polyline(_offset(e))) for e in ring)
    return CutPiece(
        piece, net, _cut(ring), runs, _strokes(ring), "half" if as_half else "whole", paper, _cut(paper),
        _strokes(paper), stitch,
    )  # fmt: skip


def copies_of(piece: Piece) -> tuple[Copy, ...]:
    out = []
    net = _whole(piece)
    for rule in piece.cuts:
        for n in range(rule.count):
            side = rule.side
            if rule.how == "pair":
                side = ("right", "left")[n % 2]
            mirrored = rule.how == "pair" and side != piece.drawn_for
            placing = MIRROR if mirrored else Placement.IDENTITY
            edges = tuple(replace(h, edge=replace(h.edge, path=h.edge.path.placed(placing))) for h in net)
            host = f"{piece.key}/main/{n + 1}" if rule.fused else None
            out.append(
                Copy(
                    f"{piece.key}/{rule.cloth}/{n + 1}",
                    piece,
                    rule.cloth,
                    side,
                    rule.face,
                    edges,
                    -1 if mirrored else 1,
                    placing,
                    rule,
                    host,
                )
            )
    return tuple(out)
