"""Which pictures there are: for every lesson its panels, and how they stand on the sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from booklet.drawing.display import Drawing

from .draft import lesson
from .found import found_line, found_point
from .shaped import opened_out, shaped, with_facing, with_gaps, with_line, with_slashes
from .sheet import Panel, sheet
from .steps import STEP_PICTURES, StepSheet


@dataclass(frozen=True)
class Picture:
    """A sheet: how its panels are made, columns, and how high a panel may be, mm."""

    panels: Callable[[], list[Panel]]
    columns: int
    tall: float

    @property
    def drawing(self) -> Drawing:
        return sheet(self.panels(), self.columns, self.tall)


def points(name: str, group: str, *names: str) -> Callable[[], list[Panel]]:
    return lambda: [Panel(found_point(lesson(name), group, n), _way(name, group, "points", n)) for n in names]


def lines(name: str, group: str, *names: str) -> Callable[[], list[Panel]]:
    return lambda: [Panel(found_line(lesson(name), group, n), _way(name, group, "lines", n)) for n in names]


def _way(name: str, group: str, kind: str, entry: str) -> str:
    """The words by which a point or a line is found, such as 'along, share'; an arc tells its own."""
    raw = lesson(name).source.data["construction"][group][kind][entry]
    words = [str(k) for k in raw]
    inner = raw[words[0]]
    if isinstance(inner, dict):
        words += [str(k) for k in inner if k in _TELLING]
    return ", ".join(words)


_TELLING = ("meets", "and round", "radius", "through", "round", "move", "mirrored in", "turned round")


def before_after(name: str, before: str, after: str, names: tuple[str, ...], words: str = "") -> list[Panel]:
    """A piece with its slashes, and with them opened."""
    here = lesson(name)
    return [
        Panel(with_slashes(here, before, after, names), words or before, after),
        Panel(with_gaps(here, before, after, (), names), after, after),
    ]


def piece(name: str, key: str, accent: tuple[str, ...] = (), names: tuple[str, ...] = (), before: str = "",
          words: str = "", alike: str = "", units: str = "", grain: bool = False) -> Panel:  # fmt: skip
    sketch = shaped(lesson(name), key, accent, names, before, units, grain=grain)
    return Panel(sketch, words or key, alike)


CIRCLES: dict[str, tuple[str, ...]] = {
    "round_skirt": ("waist", "hem"),
    "half_round": ("waist", "hem"),
    "frill": ("top", "bottom"),
}


PICTURES: dict[str, Picture | StepSheet] = {
    **STEP_PICTURES,
    "points": Picture(points("points", "back", "nape", "neck_base", "tip", "ear", "middle", "fifth"), 3, 30),
    "points_on_lines": Picture(
        points(
            "points_on_lines",
            "back",
            "neck",
            "half",
            "foot_notch",
            "cross",
            "apex",
            "blade",
            "level",
            "hip_side",
            "knee",
        ),
        3,
        40,
    ),
    "lines": Picture(
        lines(
            "lines",
            "front",
            "shoulder",
            "neckline",
            "armhole",
            "side",
            "pocket_curve",
            "cap",
            "waist_ring",
            "round_neck",
        ),
        4,
        36,
    ),
    "lines_of_lines": Picture(
        lines("lines_of_lines", "front", "yoke_edge", "turned_copy", "upper", "whole_side", "facing_line"),
        3,
        36,
    ),
    "points_turned": Picture(points("points_turned", "back", "twin", "swung", "ray_end"), 3, 32),
    "marks": Picture(
        lambda: [
            piece("marks", "front", ("front_notch", "side_notch"), ("armhole", "side"), alike="a"),
            piece("marks", "back", ("side_notch", "gap_top"), ("armhole", "side"), alike="a"),
            piece(
                "marks", "right_front", ("gap_top", "front_centre"), ("side", "waist", "centre"), alike="a"
            ),
        ],
        3,
        48,
    ),
    "half": Picture(
        lambda: [
            piece(
                "half",
                "back",
                (),
                ("waist", "side", "hem", "centre", "mid"),
                words="drawn: the right half",
                alike="a",
                grain=True,
            ),
            Panel(opened_out(lesson("half"), "back"), "cut on the fold: the whole back", "a"),
        ],
        2,
        52,
    ),
    "rectangle": Picture(
        lambda: [piece("rectangle", "cuff", (), ("upper", "front_end", "under", "back_end"), grain=True)],
        1,
        26,
    ),
    "match": Picture(
        lambda: [
            piece(
                "match",
                "band",
                ("left_front_end", "back_end"),
                ("waist_edge", "upper_edge", "left_end", "right_end"),
            )
        ],
        1,
        30,
    ),
    "circles": Picture(
        lambda: [piece("circles", k, (), names, grain=True) for k, names in CIRCLES.items()], 3, 46
    ),
    "binding": Picture(
        lambda: [
            piece("binding", "apron", ("underarm",), alike="a", units="cm"),
            piece("binding", "strip", ("sewn_edge",), grain=True, alike="a", units="cm"),
        ],
        2,
        46,
    ),
    "measured": Picture(
        lambda: [piece("measured", "pocket", (), ("mouth", "side", "foot", "other_side"), units="cm")], 1, 42
    ),
    "svg": Picture(
        lambda: [
            piece("svg", "bag", (), ("mouth", "side", "foot", "other"), alike="a"),
            piece("svg", "tab", (), ("top", "right", "foot", "left"), alike="a"),
        ],
        2,
        42,
    ),
    "facing": Picture(
        lambda: [
            Panel(with_facing(lesson("facing"), "back", "back_neck_facing", ("neckline",)), "back"),
            piece("facing", "back_neck_facing", ("neckline",), ("outer",)),
        ],
        2,
        46,
    ),
    "darts": Picture(
        lambda: [piece("darts", "back", ("back_dart",), ("waist", "centre", "side"), units="cm")], 1, 55
    ),
    "moving_darts": Picture(
        lambda: [
            piece("moving_darts", "block", ("bust",), ("side",), alike="a"),
            piece("moving_darts", "to_shoulder", ("bust",), ("side", "shoulder"), "block", alike="a"),
            piece(
                "moving_darts", "to_both", ("side_dart", "waist_dart"), ("side", "waist"), "block", alike="a"
            ),
            piece("moving_darts", "flared", ("waist",), ("side",), "block", alike="a"),
        ],
        2,
        58,
    ),
    "fit_cap": Picture(
        lambda: [
            piece("fit_cap", "front", ("armhole",), ("front_notch",), alike="a"),
            piece("fit_cap", "back", ("armhole",), ("back_notch",), alike="a"),
            piece(
                "fit_cap",
                "sleeve",
                ("head", "back_notch", "front_notch", "top"),
                before="sleeve_block",
                alike="a",
            ),
        ],
        3,
        46,
    ),
    "slash_and_spread": Picture(
        lambda: [
            *before_after("slash_and_spread", "sleeve", "full_sleeve", ("head", "lower")),
            *before_after("slash_and_spread", "skirt", "flared", ("waist", "hem")),
            *before_after("slash_and_spread", "skirt", "one_side", ("waist", "hem")),
        ],
        2,
        42,
    ),
    "pleats": Picture(
        lambda: (
            [piece("pleats", "skirt", (), ("waist", "hem"), alike="a")]
            + [
                Panel(with_gaps(lesson("pleats"), "skirt", k, ("pleat",), ()), k, "a")
                for k in ("knife_pleats", "box_pleat", "inverted_pleat", "tuck")
            ]
        ),
        3,
        48,
    ),
    "cuts": Picture(
        lambda: [
            Panel(with_line(lesson("cuts"), "block", "back.yoke_line"), "block", "a"),
            piece("cuts", "yoke", ("yoke_seam",), ("shoulder",), alike="a"),
            piece("cuts", "body", ("yoke_seam",), alike="a"),
        ],
        3,
        46,
    ),
    "cut_across": Picture(
        lambda: [
            piece("cut_across", "sleeve", (), ("head", "front_seam"), alike="a"),
            piece("cut_across", "short_sleeve", ("end",), ("head",), before="sleeve", alike="a"),
        ],
        2,
        40,
    ),
    "fold_lines": Picture(
        lambda: [
            piece("fold_lines", "cuff", ("fold",), ("upper", "under"), alike="a"),
            piece("fold_lines", "sleeve", ("casing_line",), ("lower",), alike="a"),
        ],
        2,
        36,
    ),
    "openings": Picture(lambda: [piece("openings", "back", ("slit",), ("neckline", "centre"))], 1, 50),
    "collars": Picture(
        lambda: [
            piece("collars", "round_collar", ("neck",), ("outer", "centre", "shoulder"), grain=True),
            piece("collars", "stand", ("neck",), ("upper", "end", "centre_front", "yoke_end")),
            piece("collars", "collar", ("neck",), ("outer", "end", "centre")),
            piece("collars", "under_collar", (), ("outer", "end"), before="collar"),
        ],
        2,
        40,
    ),
    "joined": Picture(
        lambda: [
            piece("joined", "yoke", ("yoke_seam",), alike="a"),
            piece("joined", "body", ("yoke_seam",), alike="a"),
            piece("joined", "whole_back", (), ("centre", "yoke_centre", "side", "shoulder"), alike="a"),
        ],
        3,
        46,
    ),
    "lengthen": Picture(
        lambda: [
            piece("lengthen", "skirt", (), ("knee", "hip_line"), alike="a"),
            piece("lengthen", "longer", ("lengthen_at_hip",), ("knee", "hip_line"), "skirt", alike="a"),
        ],
        2,
        60,
    ),
    "extend": Picture(
        lambda: [
            piece("extend", "shirt_front", ("centre",), alike="a"),
            piece("extend", "with_stand", ("centre",), ("stand",), alike="a"),
            piece("extend", "with_facing", ("centre",), ("facing_fold",), alike="a"),
        ],
        3,
        48,
    ),
    "vent": Picture(
        lambda: [
            piece("vent", "skirt_back", ("centre",), ("hem",), alike="a"),
            piece("vent", "with_vent", ("vent_top", "vent_edge"), ("vent_fold", "centre", "hem"), alike="a"),
        ],
        2,
        50,
    ),
    "opened_out": Picture(
        lambda: [
            piece("opened_out", "front", (), ("side",), alike="a"),
            Panel(
                with_line(
                    lesson("opened_out"), "whole_front", "front.slanted_neck", ("side.left", "side.right")
                ),
                "whole_front",
                "a",
            ),
            piece("opened_out", "slanted_front", ("slant",), ("side.left", "side.right"), alike="a"),
        ],
        3,
        46,
    ),
    "buttons": Picture(
        lambda: [
            piece("buttons", "left_front", ("row",), ("centre", "front_edge"), alike="a"),
            piece("buttons", "buttoned_stand", ("top",), ("neck", "centre_front"), alike="b"),
            piece("buttons", "cuff", ("hole", "button"), ("upper",), alike="b"),
        ],
        3,
        46,
    ),
    "all_in_one": Picture(
        lambda: [
            piece("all_in_one", "front", ("neckline", "armhole"), alike="a"),
            piece("all_in_one", "front_facing", ("neckline", "armhole"), ("outer",), alike="a"),
        ],
        2,
        46,
    ),
    "lining": Picture(
        lambda: [
            piece("lining", "back", (), ("shoulder_dart", "hem"), alike="a"),
            piece("lining", "back_neck_facing", (), ("outer",), alike="a"),
            piece(
                "lining", "back_lining", ("neck_edge", "hem", "centre_pleat"), ("shoulder_dart",), alike="a"
            ),
        ],
        3,
        50,
    ),
    "waistbands": Picture(
        lambda: [
            piece("waistbands", "front_block", ("waist",), alike="a"),
            piece("waistbands", "back_block", ("waist",), ("back_dart",), alike="a"),
            piece("waistbands", "waistband", (), ("upper", "start_line", "end_line", "back_end", "fold")),
            piece("waistbands", "front", ("waist",), (), "front_block", alike="a"),
            piece("waistbands", "back", ("waist",), ("back_dart",), "back_block", alike="a"),
            piece("waistbands", "shaped_band", (), ("upper", "lower", "end", "side")),
        ],
        3,
        44,
    ),
    "seam_pockets": Picture(
        lambda: [
            piece("seam_pockets", "front", ("pocket_top", "pocket_foot"), ("side", "waist"), alike="a"),
            piece("seam_pockets", "front_bag", ("mouth",), ("bag", "bag_notch"), alike="a"),
        ],
        2,
        50,
    ),
}
