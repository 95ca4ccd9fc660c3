"""Made-up garments for property tests of lays: wedges in pairs, singles and halves of all sizes."""

from __future__ import annotations

from hypothesis import strategies as st

from booklet.cloth.pieces import LayPiece


@st.composite
def garment(draw: st.DrawFn) -> tuple[LayPiece, ...]:
    """Wedges in pairs, singles and halves of all sizes."""
    out = []
    for n in range(draw(st.integers(2, 5))):
        long, wide = draw(st.integers(40, 300)), draw(st.integers(20, 140))
        cut = draw(st.integers(0, 30))
        ring = (0j, complex(long), complex(long - cut, wide), complex(cut // 2, wide))
        mode = draw(st.sampled_from(["pair", "single", "half", "same"]))
        nap = draw(st.booleans())
        match = complex(long / 2, wide / 2) if draw(st.booleans()) else None
        if mode == "half":
            out.append(LayPiece(f"p{n}", ring, "whole", 1, (0j, complex(long)), nap=nap, match=match))
        else:
            out.append(LayPiece(f"p{n}", ring, mode, 1 if mode == "single" else 2, nap=nap, match=match))
    return tuple(out)
