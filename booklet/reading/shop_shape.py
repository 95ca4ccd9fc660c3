"""The shape of shop.yaml: how a workroom works. Every key may be left out; the package's own file fills the gaps."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, StrictStr

from booklet.reading.sewing_shape import VERBS
from booklet.reading.shape import FileUnit, PlainLength, Ratio, Shape, Words, refuse

Minutes = Annotated[float, Field(ge=0, le=600)]


def _check_handling(value: dict[str, Any]) -> dict[str, Any]:
    for key in value:
        if key not in VERBS:
            raise refuse(f" has '{key}', which is no operation", f"The operations are {', '.join(VERBS)}.")
    return value


class ShopCloth(Shape):
    gap: PlainLength
    selvedge: PlainLength
    squaring: PlainLength
    buy_step: PlainLength


class Limits(Shape):
    derived: PlainLength
    equal: PlainLength
    warning: PlainLength
    girth: PlainLength


class Speeds(Shape):
    straight: PlainLength
    curved: PlainLength
    gathered: PlainLength
    neatening: PlainLength
    hand: PlainLength
    iron: PlainLength


class MinuteRates(Shape):
    handling: Annotated[dict[str, Minutes], AfterValidator(_check_handling)]
    acts: dict[str, Minutes]
    match: Minutes
    speed: Speeds


class SeamHabit(Shape):
    press: Words
    neaten: Literal["apart", "together", "enclosed", "raw"]


class SeamHabits(Shape):
    join: SeamHabit
    set_in: SeamHabit
    face: SeamHabit
    band: SeamHabit


class ThreadUse(Shape):
    stitch: int
    ratio: Annotated[float, Field(gt=0, le=60)]
    waste: Ratio
    called: Words


class Threads(Shape):
    sewing: ThreadUse
    neatening: ThreadUse
    tails: PlainLength
    spools: Annotated[list[Annotated[float, Field(gt=0)]], Field(min_length=1)]


class Stitches(Shape):
    plain: PlainLength
    gathering: PlainLength
    staystitch_in: PlainLength
    understitch_in: PlainLength


class Trimming(Shape):
    trim_to: PlainLength
    grade_from: PlainLength
    clip_every: PlainLength
    clip_short_of: PlainLength


class ZipSizes(Shape):
    cm: Annotated[list[Annotated[float, Field(gt=0)]], Field(min_length=1)]
    in_: Annotated[list[Annotated[float, Field(gt=0)]], Field(min_length=1)]


class Zips(Shape):
    stop: PlainLength
    centred: PlainLength
    lap: PlainLength
    sizes: ZipSizes


class Interfacing(Shape):
    efficiency: Ratio
    widths: list[PlainLength]


class Prints(Shape):
    paper: Literal["a4", "letter"] | None = None
    units: Literal["cm", "in"] | None = None
    margin: Words | None = None


class Colours(Shape):
    accent: StrictStr | None = None
    tint: StrictStr | None = None


Price = Annotated[float, Field(ge=0, le=1_000_000)]


class Rates(Shape):
    currency: Words = ""
    hour: Price | None = None
    cloth: dict[str, Price] = {}
    notions: dict[str, Price] = {}
    per: Literal["m", "yd"] = "m"


class Tolerances(Shape):
    cut_piece: PlainLength
    seam_allowance: PlainLength
    pair: PlainLength
    girth: PlainLength
    length: PlainLength
    hem: PlainLength
    buttonholes: PlainLength
    match: PlainLength


class ShopShape(Shape):
    shop: Annotated[StrictStr, Field(min_length=1)]
    contact: Words
    units: FileUnit
    language: Words
    cloth: ShopCloth
    limits: Limits
    minutes: MinuteRates
    seams: SeamHabits
    thread: Threads
    stitches: Stitches
    trimming: Trimming
    zips: Zips
    interfacing: Interfacing
    tolerances: Tolerances
    wording: Words | None = None
    packs: Words | None = None
    mark: Words | None = None
    terms: list[Words] = []
    colours: Colours | None = None
    prints: Prints | None = None
    rates: Rates | None = None
    attach: Literal["nothing", "sources"] = "nothing"
