"""The names of body measures, after ISO 8559-1, and what is plausible for a grown body.

A measure out of its range is warned of, never refused: bodies differ, and a range only catches a slipped unit or digit.
"""

from __future__ import annotations

# name: (least, most) in mm: common practice, no source; wide enough for every woman of a survey of 1,486
# (ANSUR II, United States Army, 2012), so that only a slipped unit or digit falls outside.
PLAUSIBLE_MM: dict[str, tuple[float, float]] = {
    "bust_girth": (600, 1800),
    "underbust_girth": (550, 1600),
    "waist_girth": (450, 1800),
    "hip_girth": (600, 1900),
    "neck_base_girth": (280, 560),
    "head_girth": (480, 660),
    "shoulder_length": (80, 180),
    "across_shoulder": (280, 560),
    "across_back": (260, 560),
    "across_front": (240, 520),
    "back_neck_to_waist": (320, 540),
    "front_neck_to_waist": (280, 640),
    "scye_depth": (150, 330),
    "bust_point_height": (180, 450),
    "bust_point_width": (130, 330),
    "arm_length": (400, 760),
    "upper_arm_girth": (200, 560),
    "elbow_girth": (190, 460),
    "wrist_girth": (120, 240),
    "hand_girth": (150, 300),
    "height": (1300, 2200),
    "waist_height": (750, 1400),
    "hip_depth": (120, 300),
    "knee_height": (340, 650),
    "inside_leg": (550, 1050),
    "outside_leg": (750, 1400),
    "body_rise": (180, 420),
    "crotch_length": (480, 1100),
    "thigh_girth": (400, 1000),
    "knee_girth": (280, 650),
    "calf_girth": (260, 600),
    "ankle_girth": (160, 380),
}
MEASURES = tuple(PLAUSIBLE_MM)

# (smaller, larger): usual for most grown bodies, so only a warning (common practice, no source).
USUALLY_LESS = (
    ("waist_girth", "bust_girth"),
    ("waist_girth", "hip_girth"),
    ("wrist_girth", "upper_arm_girth"),
    ("ankle_girth", "calf_girth"),
    ("knee_height", "waist_height"),
    ("waist_height", "height"),
)
