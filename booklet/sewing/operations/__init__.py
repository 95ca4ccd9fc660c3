"""The operations of a recipe, one small module each, found by their verbs."""

from __future__ import annotations

from booklet.sewing.operations import (
    attach,
    band,
    baste,
    bind,
    button,
    buttons,
    casing,
    collar,
    dart,
    ease,
    enclosed,
    face,
    fell,
    finish,
    free,
    fuse,
    gather,
    hang,
    hem,
    hook,
    join,
    loop,
    mark,
    placket,
    pleat,
    pocket,
    press,
    staystitch,
    strips,
    tack,
    tie,
    topstitch,
    try_on,
    understitch,
    zip,
)
from booklet.sewing.operations.base import Context, Effort, Operation, Stitching

OPERATIONS: dict[str, Operation] = {
    module.OPERATION.verb: module.OPERATION
    for module in (
        fuse, staystitch, mark, dart, pleat, gather, join, finish, face, understitch, hem, casing, band, tie, loop, button,
        baste, try_on, press, free,
        strips, bind, pocket, attach, zip, fell, hook,
        buttons, collar, placket,
        ease, tack, hang,
    )
}  # fmt: skip
OPERATIONS |= {op.verb: op for op in (enclosed.FRENCH, enclosed.FELL, enclosed.LAP)}
OPERATIONS |= {op.verb: op for op in (topstitch.TOPSTITCH, topstitch.EDGESTITCH)}

__all__ = ["OPERATIONS", "Context", "Effort", "Operation", "Stitching"]
