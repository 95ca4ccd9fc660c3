"""The booklet's look as named values: colours, pens, type sizes and the page grid. One meaning a mark, on every page.

Ink is what is there; the accent is what you do now. Millimetres, save what ends in _PT or is a pen's width.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.drawing.display import Fill, Stroke

INK = "#1C1B1A"
SOFT = "#5E5B57"
RULE = "#B8B3AB"
TINT = "#DFD9CE"  # right side of cloth, 15 % grey on a black printer
PALE = "#F1EEE8"  # pale ground, 7 %
SECTION_TINT = "#BDB5A6"  # right side in sections, where it is only a thin edge, 29 %
ACCENT = "#B5432A"  # 60 % grey on a black printer
WHITE = "#FFFFFF"

RIGHT_SIDE = Fill(TINT)
WRONG_SIDE = Fill(WHITE)
INTERFACING = Fill(WHITE, "dots")
GLUE = Fill(None, "dots")  # interfacing fused to a ply that is drawn already
LINING = Fill(WHITE, "hatch")
GROUND = Fill(PALE)
SOLID = Fill(INK)
SOLID_ACCENT = Fill(ACCENT)
SECTION_SIDE = Fill(SECTION_TINT)

# ---------------------------------------------------------------- pens

CUT = Stroke(0.8, INK)
CUT_FULL = Stroke(1.0, INK)
STITCH = Stroke(0.4, INK, (1.0, 0.7))
STITCH_FULL = Stroke(0.5, INK, (2.6, 1.6))
SEW_NOW = Stroke(1.85, ACCENT, (2.6, 1.1))
GATHER_ROW = Stroke(1.25, ACCENT, (1.5, 0.8))
FOLD = Stroke(0.6, INK, (3.2, 0.8, 0.5, 0.8))
FOLD_FULL = Stroke(0.8, INK, (3.2, 0.8, 0.5, 0.8))
HIDDEN = Stroke(0.45, SOFT, (0.5, 0.7))
CUT_OFF = Stroke(0.4, SOFT)
NOTCH = Stroke(0.9, INK)
LEADER = Stroke(0.4, INK)
MEASURE = Stroke(0.45, INK)
GRAIN = Stroke(0.7, INK)
ACTION = Stroke(1.05, ACCENT)
MEETS = Stroke(0.9, ACCENT)  # "is sewn to", in the chart
RING = Stroke(0.8, INK)
CHECK = Stroke(1.1, ACCENT)
FINE = Stroke(0.25, RULE)
ROW_RULE = Stroke(0.25, RULE)
TABLE_RULE = Stroke(0.5, INK)
HEAD_RULE = Stroke(0.8, INK)
FOOT_RULE = Stroke(0.5, RULE)
STEP_RULE = Stroke(0.5, RULE)
TICK_BOX = Stroke(0.7, INK)
HATCH_LINE = Stroke(0.4, INK)

# ---------------------------------------------------------------- marks

DOT_RADIUS, DOT_PITCH, DOT_CLEAR = 0.17, 1.35, 0.35  # interfacing, staggered
HATCH_PITCH = 1.3  # lining, 45 degrees
NOTCH_LENGTH, NOTCH_LENGTH_FULL = 1.5, 6.0
WAVE_HEIGHT, WAVE_PERIOD = 0.7, 9.0
LEADER_GAP, LEADER_DOT = 0.9, 0.42
ACTION_DOT, ACTION_HEAD_LONG, ACTION_HEAD_WIDE = 0.6, 2.4, 1.8
MEASURE_HEAD_LONG, MEASURE_HEAD_WIDE = 1.5, 1.0
LABEL_CLEAR = 2.0  # clear ground round a label that stands on the thing

# ---------------------------------------------------------------- type, points; leadings in mm

TITLE_PT = 21.0
STEP_NUMBER_PT = 22.0
STEP_TITLE_PT = 12.4
BODY_PT, BODY_LEADING = 9.6, 4.55
CHECK_PT, CHECK_LEADING = 8.8, 4.1
LABEL_PT, LABEL_LEADING = 8.0, 3.5
MEASURE_PT = 8.0  # semibold
TABLE_PT, COUNT_PT = 9.4, 11.0
HEAD_PT, FOOT_PT = 8.2, 7.6
SMALLEST_PT = 7.6
PAGE_NAME_PT = 46.0

# ---------------------------------------------------------------- paper and grid


@dataclass(frozen=True)
class Paper:
    """A sheet of paper and the booklet's grid on it, mm."""

    name: str  # in print: 'A4', 'Letter'
    width: float
    height: float
    left: float = 22.0
    right_margin: float = 14.0
    head_rule: float = 18.6
    title_baseline: float = 29.6
    top: float = 35.0
    foot_clear: float = 16.0  # from the content's end to the paper's
    foot_rule_up: float = 13.8

    @property
    def right(self) -> float:
        return self.width - self.right_margin

    @property
    def foot(self) -> float:
        """Where the content ends."""
        return self.height - self.foot_clear

    @property
    def foot_rule(self) -> float:
        return self.height - self.foot_rule_up


# ISO 216 and ANSI/ASME Y14.1 (8 1/2 x 11 in).
A4 = Paper("A4", 210.0, 297.0)
LETTER = Paper("Letter", 215.9, 279.4)
PAPERS = {"a4": A4, "letter": LETTER}

NUMBER_X = 22.0  # steps: number and tick box
WORDS_LEFT, WORDS_RIGHT = 34.0, 85.0
PICTURE_LEFT = 90.0
STEP_CLEAR = 6.0
