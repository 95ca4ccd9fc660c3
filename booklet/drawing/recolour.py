"""The booklet's own colours changed for a shop's, all over a drawing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from booklet.drawing.display import Fill, Group, Item, PathItem, Stroke
from booklet.drawing.page import PageSpec


def recoloured(pages: Sequence[PageSpec], palette: Mapping[str, str]) -> list[PageSpec]:
    """The pages with every colour that the palette names replaced. What is drawn once and placed often stays so."""
    if not palette:
        return list(pages)
    painter = _Painter(palette)
    return [replace(p, drawing=replace(p.drawing, items=painter.items(p.drawing.items))) for p in pages]


class _Painter:
    def __init__(self, palette: Mapping[str, str]) -> None:
        self.palette = {k.upper(): v for k, v in palette.items()}
        self.done: dict[
            int, tuple[tuple[Item, ...], tuple[Item, ...]]
        ] = {}  # the first is kept, so that its id is its own

    def items(self, items: tuple[Item, ...]) -> tuple[Item, ...]:
        known = self.done.get(id(items))
        if known is None:
            known = self.done[id(items)] = (items, tuple(self._item(i) for i in items))
        return known[1]

    def _item(self, item: Item) -> Item:
        if isinstance(item, Group):
            return replace(item, items=self.items(item.items))
        if isinstance(item, PathItem):
            if item.role == "mark":  # the shop's mark has its own colours
                return item
            return replace(item, stroke=self._pen(item.stroke), fill=self._fill(item.fill))
        return replace(item, colour=self._colour(item.colour))

    def _pen(self, pen: Stroke | None) -> Stroke | None:
        return pen if pen is None else replace(pen, colour=self._colour(pen.colour))

    def _fill(self, fill: Fill | None) -> Fill | None:
        return (
            fill if fill is None or fill.colour is None else replace(fill, colour=self._colour(fill.colour))
        )

    def _colour(self, colour: str) -> str:
        return self.palette.get(colour.upper(), colour)
