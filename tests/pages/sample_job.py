"""A small Job made by hand: a fold piece, its facing, a pair, a right-side-up single and a band cut the same way.

Lengths in mm. It is plausible, not a garment: it exists so that pages can be tested without drafting anything.
"""

from __future__ import annotations

from dataclasses import replace

from sample_pictures import join_picture, plain_picture
from sample_pieces import (
    HERE,
    band_piece,
    copies_of,
    cut_piece_of,
    facing_piece,
    front_piece,
    panel_piece,
    sleeve_piece,
)

from booklet.drawing.display import Drawing
from booklet.model import (
    BodyMeasure,
    ClothNeed,
    CutPiece,
    CutRule,
    Draft,
    Finished,
    Job,
    LayPlan,
    Notion,
    Part,
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

    front = front_piece()
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
    pieces = [
        front_piece(),
        facing_piece(),
        sleeve_piece(),
        *([panel_piece()] if single else []),
        band_piece(),
    ]
    cuts = {p.key: cut_piece_of(p, whole_paper) for p in pieces}
    copies = tuple(c for p in pieces for c in copies_of(p))
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
