"""The layers of ASTM D6673, and the units of a DXF file.

The meanings of the layers are values from memory of the 2010 edition, not compared with a copy of it (its total of 23
layers agrees). One block a piece, one style a file: the standard's published scope.
"""

from __future__ import annotations

CUT = "1"  # the piece's boundary; in model space the words about the style
TURN = "2"  # points where a line turns, or an edge ends
CURVE = "3"  # the other points of its curves
NOTCH = "4"
MIRROR = "6"
GRAIN = "7"
INNER = "8"  # lines drawn, not cut
HOLE = "13"
STITCH = "14"
WORDS = "15"
NOTCHES = (NOTCH, "80", "81", "82", "83")  # V and slit; T, castle, check and U notches
WRITTEN = (CUT, TURN, CURVE, NOTCH, MIRROR, GRAIN, INNER, HOLE, STITCH, WORDS)

# mm to one unit, by the value of $INSUNITS (published in the DXF reference of the format's maker, header section).
UNITS = {
    1: 25.4,
    2: 304.8,
    4: 1.0,
    5: 10.0,
    6: 1000.0,
    8: 25.4e-6,
    9: 0.0254,
    10: 914.4,
    13: 0.001,
    14: 100.0,
}
MILLIMETRES = 4
METRIC = 1  # the value of $MEASUREMENT

# The same in the words of a style's text, "UNITS: METRIC": value from memory, as above.
WORDED = {"METRIC": 1.0, "ENGLISH": 25.4}

# Names of the header variables and words that tell them apart in a sentence.
NAMED = {1.0: "mm", 25.4: "in", 10.0: "cm", 1000.0: "m", 304.8: "ft"}
