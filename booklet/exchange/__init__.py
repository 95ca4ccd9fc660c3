"""Pattern pieces in the files of other programs: DXF by the layers of ASTM D6673, written and read.

Plain data in millimetres on both sides, y down; the flip to the file's y up happens here and nowhere else.
"""
