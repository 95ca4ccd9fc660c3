"""The shaping verbs of `do:`, one module each: from a shape and what is asked of it to a new shape."""

from __future__ import annotations

from collections.abc import Callable

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Shape
from booklet.drafting.verbs.cut_across import ask_cut_across
from booklet.drafting.verbs.cut_along import ask_cut_along
from booklet.drafting.verbs.fit_cap import ask_fit_cap
from booklet.drafting.verbs.pleat import ask_pleat
from booklet.drafting.verbs.slash_and_spread import ask_slash_and_spread

Verb = Callable[[Asked, Shape], Shape]

VERBS: dict[str, Verb] = {
    "fit cap": ask_fit_cap,
    "slash and spread": ask_slash_and_spread,
    "pleat": ask_pleat,
    "cut along": ask_cut_along,
    "cut across": ask_cut_across,
}
