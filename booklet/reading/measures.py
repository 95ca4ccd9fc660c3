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
# The same for children of about one to twelve years (common practice, no source).
PLAUSIBLE_CHILD_MM: dict[str, tuple[float, float]] = {
    "bust_girth": (430, 900),
    "underbust_girth": (420, 850),
    "waist_girth": (400, 850),
    "hip_girth": (430, 980),
    "neck_base_girth": (220, 400),
    "head_girth": (420, 580),
    "shoulder_length": (50, 130),
    "across_shoulder": (180, 400),
    "across_back": (160, 380),
    "across_front": (150, 360),
    "back_neck_to_waist": (170, 400),
    "front_neck_to_waist": (140, 380),
    "scye_depth": (90, 220),
    "bust_point_height": (90, 300),
    "bust_point_width": (80, 220),
    "arm_length": (220, 600),
    "upper_arm_girth": (120, 320),
    "elbow_girth": (110, 290),
    "wrist_girth": (90, 180),
    "hand_girth": (100, 220),
    "height": (680, 1650),
    "waist_height": (360, 1050),
    "hip_depth": (60, 200),
    "knee_height": (160, 470),
    "inside_leg": (220, 800),
    "outside_leg": (350, 1050),
    "body_rise": (120, 300),
    "crotch_length": (300, 750),
    "thigh_girth": (220, 620),
    "knee_girth": (170, 420),
    "calf_girth": (150, 400),
    "ankle_girth": (110, 280),
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
