"""A small Job made by hand: a fold piece, its facing, a pair, a right-side-up single and a band cut the same way.

Lengths in mm. It is plausible, not a garment: it exists so that pages can be tested without drafting anything.
"""

from __future__ import annotations

from dataclasses import replace

from sample_pictures import join_picture, plain_picture

from booklet.drawing.display import Drawing
from booklet.model import (
    BodyMeasure,
    ClothNeed,
    Copy,
    CutPiece,
    CutRule,
    Dart,
    Draft,
    Edge,
    FacingOf,
    Finished,
    FoldLine,
    Half,
    Job,
    LayPlan,
    Mark,
    NotchStroke,
    Notion,
    Part,
    Piece,
    Placing,
    Run,
    Seam,
    ShopInfo,
    SizedResult,
    Step,
    StepPicture,
    Stretch,
    StyleInfo,
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


def _front() -> Piece:
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


def _facing() -> Piece:
    neckline = _front().edges[0].path.placed(MIRROR)  # right sides together: its own mirror image
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


def _sleeve() -> Piece:
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


def _panel() -> Piece:
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


def _band() -> Piece:
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


def _cut_piece(piece: Piece, whole_paper: bool = False) -> CutPiece:
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


def _copies(piece: Piece) -> tuple[Copy, ...]:
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


# ---------------------------------------------------------------- lays


def _on_lay(
    cut: CutPiece, rule: CutRule, at: complex, *, on_fold: bool, mirrored: bool, ids: tuple[str, ...]
):
    """Turned so that the grain runs along the cloth, then moved so that its box starts at `at`."""
    outline = cut.paper_cut if on_fold else cut.cut
    if rule.trim == 0:
        half = Path.polyline([p for e in cut.paper_net for p in e.path.flatten(0.2)[:-1]], closed=True)
        outline = half if on_fold else cut.stitch
    tail, head = cut.piece.grain
    way = (head - tail) / abs(head - tail)
    turn = Placement(1 / way if not mirrored else (1 / way).conjugate(), 0j, mirrored)
    x0, y0, _, y1 = outline.placed(turn).bbox
    if on_fold:
        fold = cut.piece.edge(cut.piece.fold)
        if turn.apply(fold.path.start).imag > (y0 + y1) / 2:
            turn = turn.then(Placement(1 + 0j, 0j, True))
            x0, y0, _, _ = outline.placed(turn).bbox
    put = turn.then(Placement(1 + 0j, at - complex(x0, y0)))
    grain = (put.apply(tail), put.apply(head))
    return Placing(cut.piece.key, ids, outline.placed(put), put, put.mirrored, on_fold, grain)


def _fold_lay(cuts: dict[str, CutPiece], width: float) -> LayPlan:
    half = width / 2
    main = {k: c.piece.cuts[0] for k, c in cuts.items()}
    put = lambda key, at, **k: _on_lay(cuts[key], main[key], at, **k)  # noqa: E731
    placings = (
        put("front", 20 + 0j, on_fold=True, mirrored=False, ids=("front/main/1",)),
        put("sleeve", 20 + 290j, on_fold=False, mirrored=False, ids=("sleeve/main/1", "sleeve/main/2")),
        put("front_neck_facing", 690 + 0j, on_fold=True, mirrored=False, ids=("front_neck_facing/main/1",)),
        put("cuff", 690 + 190j, on_fold=False, mirrored=False, ids=("cuff/main/1", "cuff/main/2")),
    )
    return LayPlan(
        "main", width, width - 24, "fold", 1060.0, 1160.0, 1200.0, 0.58, True,
        tuple(p for p in placings if p.outline.bbox[3] <= half + 60), "the shorter of the two",
    )  # fmt: skip


def _open_lay(cuts: dict[str, CutPiece], width: float) -> LayPlan:
    main = {k: c.piece.cuts[0] for k, c in cuts.items()}
    put = lambda key, at, **k: _on_lay(cuts[key], main[key], at, **k)  # noqa: E731
    placings = (
        put("front", 20 + 20j, on_fold=False, mirrored=False, ids=("front/main/1",)),
        put("sleeve", 20 + 600j, on_fold=False, mirrored=False, ids=("sleeve/main/1",)),
        put("sleeve", 370 + 600j, on_fold=False, mirrored=True, ids=("sleeve/main/2",)),
        put("panel", 710 + 20j, on_fold=False, mirrored=False, ids=("panel/main/1",)),
        put(
            "front_neck_facing", 710 + 300j, on_fold=False, mirrored=False, ids=("front_neck_facing/main/1",)
        ),
        put("cuff", 720 + 640j, on_fold=False, mirrored=False, ids=("cuff/main/1",)),
        put("cuff", 720 + 760j, on_fold=False, mirrored=False, ids=("cuff/main/2",)),
    )
    return LayPlan(
        "main", width, width - 24, "open", 1190.0, 1290.0, 1300.0, 0.61, True, placings,
        "a piece is cut right side up",
    )  # fmt: skip


def _interfacing_lay(cuts: dict[str, CutPiece]) -> LayPlan:
    facing, cuff = cuts["front_neck_facing"], cuts["cuff"]
    placings = (
        _on_lay(facing, facing.piece.cuts[1], 10 + 10j, on_fold=False, mirrored=False,
                ids=("front_neck_facing/interfacing/1",)),
        _on_lay(cuff, cuff.piece.cuts[1], 10 + 320j, on_fold=False, mirrored=False, ids=("cuff/interfacing/1",)),
        _on_lay(cuff, cuff.piece.cuts[1], 10 + 410j, on_fold=False, mirrored=False, ids=("cuff/interfacing/2",)),
    )  # fmt: skip
    return LayPlan("interfacing", 900.0, 900.0, "open", 360.0, 390.0, 400.0, 0.31, True, placings, "")


# ---------------------------------------------------------------- steps


def _seams() -> tuple[Seam, ...]:
    def part(copy: str, edge: str, s0: float, s1: float) -> Part:
        return Part(copy, edge, s0, s1)

    front = _front()
    neck = front.edges[0].length
    a = Run("front.neckline", (part("front/main/1", "neckline.left", 0.0, neck),))
    b = Run("front_neck_facing.neckline", (part("front_neck_facing/main/1", "neckline.left", 0.0, neck),))
    return (
        Seam("face-neck", "face-neck", "face", a, b, "whole", "none", "enclosed", 10, 10, 2 * neck, 2 * neck,
             (Stretch("left", "right", 2 * neck, 2 * neck),), "equal", HERE),
    )  # fmt: skip


def _steps(with_pictures: bool) -> tuple[Step, ...]:
    def pictures(*pics: tuple[str, Drawing]) -> tuple[StepPicture, ...]:
        return tuple(StepPicture(k, d) for k, d in pics) if with_pictures else ()

    rows = [
        ("Preparing the pieces", "fuse", "Fuse the facing",
         ("Lay the interfacing glue side down on the wrong side of the facing, inside its stitch line.",
          "Press without sliding, ten seconds a place; let it cool flat."),
         "The corners don't lift.", 6, pictures(("fusing", plain_picture(96, 42)))),
        ("", "staystitch", "Staystitch the neckline",
         ("Sew along the neckline of the front, **8 mm** from the edge, from each shoulder to the centre.",),
         "It measures as the pattern does.", 4, pictures(("edge", plain_picture(88, 38)))),
        ("Shoulders and neckline", "join", "Join the shoulders",
         ("Lay the back right side up. Lay the front on it, right sides together, shoulder to shoulder.",
          "Sew both shoulders **10 mm** from the edge, from neck to armhole, over the stay tape."),
         "Each seam measures 95 mm; the pair differs by 2 mm at most.", 6,
         pictures(("together", join_picture()))),
        ("", "press", "Press the seams open",
         ("Press each seam flat as sewn. Open the work out, wrong side up, and press one allowance to each side.",
          "Trim the tape ends. Press from the wrong side only."),
         "Neckline and armhole run on over the seam without a step.", 5,
         pictures(("opened", plain_picture(100, 46)))),
        ("", "face", "Face the neckline",
         ("Lay the facing on the neckline, right sides together. Match centres, notches and shoulder seams; pin.",
          "Sew round **10 mm** from the edge, 587 mm in all. Trim the facing to 6 mm, the body to 8 mm. "
          "Clip every 15 mm, to 2 mm from the seam."),
         "No pleat is caught; both halves measure 294 mm.", 14,
         pictures(("round", plain_picture(48, 50)), ("edge", plain_picture(52, 46)),
                  ("section", plain_picture(98, 14)))),
        ("Sleeves", "gather", "Gather the sleeve head",
         ("Sew two rows, stitch 4 mm, from the double notch to the single notch, **4 mm** and **8 mm** "
          "from the edge. Leave 80 mm of thread.",
          "Draw both rows up together, 443 mm to **315 mm**; knot, and spread the gathers evenly."),
         "Notch to notch lies along 315 mm of the armhole.", 12,
         pictures(("flat", plain_picture(104, 50)))),
        ("", "join", "Set the sleeve, flat",
         ("Lay the work open, right side up. Turn the sleeve over on it, right sides together: single notch to "
          "front, double notch to back.",),
         "No gathers outside the notches; no pleat is caught.", 22,
         pictures(("side by side", plain_picture(102, 62)))),
        ("Hem and finish", "try on", "Try on",
         ("Look at the shoulders, the fullness of the sleeve and the length. Pin the hem.",), "", 8, ()),
        ("", "hem", "Hem the lower edge",
         ("Neaten the edge. Turn up **25 mm** on the fold line and press from the fold upwards.",
          "The edge is 20 mm longer than the line it meets, 5 mm in each quarter: shrink it in with steam."),
         "Depth 25 mm, ± 2 mm, all round.", 20, pictures(("edge", plain_picture(48, 42)),
                                                          ("section", plain_picture(50, 42)))),
        ("", "press", "Press the whole garment",
         ("Press from the wrong side, along the grain. Hang it up until it is dry.",), "", 8, ()),
    ]  # fmt: skip
    out = []
    for n, (part, op, title, text, check, minutes, pics) in enumerate(rows, 1):
        seams = ("face-neck",) if op == "face" else ()
        out.append(
            Step(n, f"step-{n}", op, title, part, text, check, minutes, seams, op != "try on", HERE, pics)
        )
    return tuple(out)


# ---------------------------------------------------------------- the job


def sample_job(
    units: str = "cm",
    paper: str = "a4",
    *,
    single: bool = True,
    whole_paper: bool = False,
    with_pictures: bool = True,
) -> Job:
    """`single`: with the right-side-up panel, so that the main cloth is laid open; `whole_paper`: fold pieces
    are printed whole."""
    pieces = [_front(), _facing(), _sleeve(), *([_panel()] if single else []), _band()]
    cuts = {p.key: _cut_piece(p, whole_paper) for p in pieces}
    copies = tuple(c for p in pieces for c in _copies(p))
    if single:
        lays = (_open_lay(cuts, 1500.0), replace(_open_lay(cuts, 1400.0), recommended=False, buy_mm=1350.0))
    else:
        lays = (_fold_lay(cuts, 1500.0),)
    cloths = (
        ClothNeed("main", "main cloth", "plain-woven cotton or linen, 110 to 150 g/m²", 7 if single else 6,
                  lays, ((900.0, "piece 1 Front is wider than the cloth"),), shrinkage=0.04),
        ClothNeed("interfacing", "interfacing", "light fusible woven, fused to the wrong side", 3,
                  (_interfacing_lay(cuts),), fusible=True),
    )  # fmt: skip
    measures = (
        BodyMeasure("bust_girth", 920.0, True),
        BodyMeasure("hip_girth", 990.0, True),
        BodyMeasure("back_neck_to_waist", 405.0, True),
        BodyMeasure("upper_arm_girth", 295.0, True),
        BodyMeasure("head_girth", 560.0, True),
        BodyMeasure("across_shoulder", 375.4, False, "bust_girth / 8 + 10.25"),
        BodyMeasure("scye_depth", 191.4, False, "bust_girth / 6 + 1.5"),
    )
    finished = (
        Finished("bust", "bust", 1021.6, "bust_girth", 920.0, 50.8, 101.6),
        Finished("hip", "hip", 1066.2, "hip_girth", 990.0, 38.1, 76.2),
        Finished("upper_arm", "upper arm", 358.5, "upper_arm_girth", 295.0, 50.8, 63.5),
        Finished("back_length", "back length, nape to hem", 570.1, None, None, None, None),
    )
    openings = (
        Finished("neck", "neck", 582.4, "head_girth", 560.0, 20.0, None),
        Finished("sleeve_elastic", "sleeve end", 420.0, "hand_girth", 206.5, 0.0, None,
                 "relaxed 271 mm, stretched 420 mm"),
    )  # fmt: skip
    notions = (
        Notion(
            "sewing thread", 1, "reel", "1 reel, 100 m", "lockstitch 10.4 m × 2.5 × 1.25 for waste = 33 m"
        ),
        Notion("neatening thread", 80, "m", "80 m, 3 cones", "edges 4.4 m × 14 × 1.15 for waste = 71 m"),
        Notion("elastic, 12 mm", 0.6, "m", "0.6 m", "sleeve ends 2 × (271 + 13) mm = 568 mm"),
        Notion("machine needle 80", 1, "", "1", "a new one for each garment"),
    )
    sized = SizedResult(
        "M-03", "Marit Solvang", "M-03", measures, finished, Draft({}, {p.key: p for p in pieces}), copies,
        _seams(), tuple(cuts.values()), cloths, notions, openings,
    )  # fmt: skip
    style = StyleInfo(
        "T-07",
        "Round-neck top with gathered sleeves",
        "A loose top to the hip with a faced round neck and short, full sleeves, gathered at the head.",
        "1.0",
        "2026-11-20",
        "second garment",
        (
            ("neck", "wide", "wide neck that passes the head"),
            ("sleeve_end", "elastic", "elastic in a casing"),
        ),
        ("iron", "blades", "needles"),
    )
    shop = ShopInfo("Tern & Thimble Workroom", "Quay Lane 4, Northhaven")
    return Job(style, shop, units, paper, (sized,), _steps(with_pictures))  # type: ignore[arg-type]
