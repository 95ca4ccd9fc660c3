"""The operations of a recipe, one small module each, found by their verbs."""

from __future__ import annotations

from booklet.sewing.operations import (
    band,
    baste,
    button,
    casing,
    dart,
    face,
    finish,
    free,
    fuse,
    gather,
    hem,
    join,
    loop,
    mark,
    press,
    staystitch,
    tie,
    try_on,
    understitch,
)
from booklet.sewing.operations.base import Context, Effort, Operation, Stitching

OPERATIONS: dict[str, Operation] = {
    module.OPERATION.verb: module.OPERATION
    for module in (
        fuse, staystitch, mark, dart, gather, join, finish, face, understitch, hem, casing, band, tie, loop, button,
        baste, try_on, press, free,
    )
}  # fmt: skip

__all__ = ["OPERATIONS", "Context", "Effort", "Operation", "Stitching"]
