"""The shaping verbs of `do:`, one module each: from a shape and what is asked of it to a new shape."""

from __future__ import annotations

from collections.abc import Callable

from booklet.drafting.asked import Asked
from booklet.drafting.darts import ask_drawn_dart
from booklet.drafting.shape import Shape
from booklet.drafting.verbs.close_dart import ask_close_dart
from booklet.drafting.verbs.cut_across import ask_cut_across
from booklet.drafting.verbs.cut_along import ask_cut_along
from booklet.drafting.verbs.cut_band import ask_cut_band
from booklet.drafting.verbs.extend import ask_extend
from booklet.drafting.verbs.fit_cap import ask_fit_cap
from booklet.drafting.verbs.join_to import ask_join_to
from booklet.drafting.verbs.lengthen import ask_lengthen
from booklet.drafting.verbs.mirror import ask_mirror
from booklet.drafting.verbs.move_dart import ask_move_dart, ask_split_dart
from booklet.drafting.verbs.open_out import ask_open_out
from booklet.drafting.verbs.pleat import ask_pleat
from booklet.drafting.verbs.slash_and_spread import ask_slash_and_spread
from booklet.drafting.verbs.vent import ask_vent

Verb = Callable[[Asked, Shape], Shape]

VERBS: dict[str, Verb] = {
    "fit cap": ask_fit_cap,
    "slash and spread": ask_slash_and_spread,
    "pleat": ask_pleat,
    "cut along": ask_cut_along,
    "cut across": ask_cut_across,
    "cut off band": ask_cut_band,
    "dart": ask_drawn_dart,
    "move dart": ask_move_dart,
    "split dart": ask_split_dart,
    "close dart": ask_close_dart,
    "lengthen": ask_lengthen,
    "extend": ask_extend,
    "open out": ask_open_out,
    "mirror": ask_mirror,
    "join to": ask_join_to,
    "vent": ask_vent,
}
