"""A shop's own colours, within what prints: each held against paper and ink by its contrast.

Contrast is that of WCAG 2.2 (W3C, "contrast ratio"): (L1 + 0.05) / (L2 + 0.05) with the relative luminance of sRGB.
The least for words, 4.5, is from there (1.4.3); the other limits are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from booklet.drawing.look import ACCENT, INK, PALE, RULE, SECTION_TINT, TINT
from booklet.problems import Collector
from booklet.reading.yaml_source import Source

PAPER = "#FFFFFF"
WORDS = 4.5  # accent on paper: it is the colour of numbers and arrows, and must print as a dark grey
APART = 1.8  # accent from ink
SHADE = (1.15, 1.9)  # tint on paper: seen, yet light enough for a black printer
ON_SHADE = 7.0  # ink on tint
_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")
NAMES = ("accent", "tint")


def contrast(a: str, b: str) -> float:
    """From 1 (alike) to 21 (black on white)."""
    one, two = sorted((_luminance(a), _luminance(b)))
    return (two + 0.05) / (one + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def check_colours(source: Source, collector: Collector) -> Mapping[str, str]:
    """What stands for which of the booklet's own colours. `colours:` of a shop's file, whose shape is known to be right."""
    given: Mapping[str, str] = source.data.get("colours") or {}
    out: dict[str, str] = {}
    for name, value in given.items():
        where = source.where("colours", name)
        if not _COLOUR.fullmatch(value):
            collector.error(
                "colour", where, f"{name} is '{value}'", "Write a colour as '#B5432A', six digits in quotes."
            )
            continue
        for least, most, ratio, what, mend in _limits(name, value):
            if not least <= ratio <= most:
                bound = f"at least {least:g}" if ratio < least else f"at most {most:g}"
                collector.error(
                    "colour",
                    where,
                    f"{name} {value} has a contrast of {ratio:.1f} {what}, it needs {bound}",
                    mend,
                )
                break
        else:
            out |= {ACCENT: value} if name == "accent" else _shades(value)
    return out


def _limits(name: str, value: str) -> tuple[tuple[float, float, float, str, str], ...]:
    paper, ink = contrast(value, PAPER), contrast(value, INK)
    if name == "accent":
        return (
            (WORDS, 99.0, paper, "on white paper", "Take a darker colour."),
            (APART, 99.0, ink, "beside the ink", "Take a lighter colour."),
        )
    return (
        (
            SHADE[0],
            SHADE[1],
            paper,
            "on white paper",
            "Take a darker colour." if paper < 1.2 else "Take a lighter one.",
        ),
        (ON_SHADE, 99.0, ink, "under the ink", "Take a lighter colour."),
    )


def _shades(tint: str) -> dict[str, str]:
    """The right side of the cloth and the shades that go with it, as far from white as the booklet's own are."""
    return {
        TINT: tint,
        PALE: _mixed(tint, "#FFFFFF", 0.58),
        SECTION_TINT: _mixed(tint, "#000000", 0.16),
        RULE: _mixed(tint, "#000000", 0.20),
    }


def _mixed(a: str, b: str, share: float) -> str:
    parts = [round(int(a[k : k + 2], 16) * (1 - share) + int(b[k : k + 2], 16) * share) for k in (1, 3, 5)]
    return "#" + "".join(f"{p:02X}" for p in parts)
