"""The PDF: pages of display items written through reportlab's canvas, with forms, layers, bookmarks and labels.

No clock and no lot: the same pages give the same bytes. Nothing is on disk until the whole file is.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Sequence
from pathlib import Path as FilePath
from typing import Any

from reportlab import rl_config
from reportlab.lib.utils import ImageReader
from reportlab.pdfbase import pdfdoc
from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFName,
    PDFResourceDictionary,
    PDFString,
)
from reportlab.pdfgen.canvas import Canvas

from booklet.drawing.display import Group, PathItem
from booklet.drawing.page import PageSpec
from booklet.printing.files import Attached, write_beside
from booklet.printing.operators import PT, FontBook, Operators, form_box, n3
from booklet.printing.told import attach, tell_pictures


def write_pdf_pages(
    pages: Sequence[PageSpec],
    out: FilePath,
    *,
    title: str,
    author: str = "",
    subject: str = "",
    language: str = "en",
) -> None:
    """Writes the file at once, or leaves an earlier one as it was. Raises `Fault` where it cannot be written."""
    write_beside(out, pdf_bytes(pages, title=title, author=author, subject=subject, language=language))


def pdf_bytes(
    pages: Sequence[PageSpec],
    *,
    title: str,
    author: str = "",
    subject: str = "",
    language: str = "en",
    attached: Sequence[Attached] = (),
    layers: Sequence[str] = (),
) -> bytes:
    """The file's bytes; `layers` in the order in which a viewer lists them.

    Raises `Fault` for words that the fonts cannot set, ValueError for no pages.
    """
    if not pages:
        raise ValueError("a PDF needs a page")
    before = rl_config.useA85
    rl_config.useA85 = 0  # plain bytes: a quarter smaller
    try:
        return _Writer(title, author, subject, language, layers).write(pages, attached)
    finally:
        rl_config.useA85 = before


class _Canvas(Canvas):
    """reportlab's canvas without its opening lines, which would bring in a font that is not embedded."""

    def _make_preamble(self) -> None:
        self._preamble = ""


class _Writer:
    """One document on its way to bytes."""

    def __init__(
        self, title: str, author: str, subject: str, language: str, layers: Sequence[str] = ()
    ) -> None:
        self.canvas = _Canvas(io.BytesIO(), pageCompression=1, invariant=1, pdfVersion=(1, 5), lang=language)
        self.canvas.setTitle(title)
        self.canvas.setAuthor(author)
        self.canvas.setSubject(subject)
        self.canvas.setCreator("booklet")
        self.canvas.setProducer("booklet")
        self.document = self.canvas._doc
        self.fonts = FontBook(self.document)
        self.forms: dict[str, tuple[str, Group]] = {}
        self.images: dict[bytes, str] = {}
        self.ordered = tuple(layers)
        self.layers: dict[str, str] = {}
        self.layers_here: list[str] = []
        self.told: list[list[str]] = []  # the pictures of each page in words

    def write(self, pages: Sequence[PageSpec], attached: Sequence[Attached] = ()) -> bytes:
        # Bookmarks must not skip a level on the way down.
        level = -1
        for number, page in enumerate(pages):
            self._page(page)
            for count, mark in enumerate(page.bookmarks):
                level = min(mark.level, level + 1)
                key = f"p{number}-{count}"
                top = (page.drawing.height - mark.y) * PT
                self.canvas.bookmarkPage(key, fit="XYZ", left=0, top=top, zoom=0)
                self.canvas.addOutlineEntry(mark.title, key, level=level, closed=level > 0)
            if page.label:
                self.canvas.addPageLabel(number, prefix=page.label)
            layers = self.layers_here
            self.canvas.showPage()
            if layers:
                self._give_layers(self.document.Pages.pages[-1], layers)
        if any(page.bookmarks for page in pages):
            self.canvas.showOutline()
        tell_pictures(self.document, self.told)
        attach(self.document, attached)
        self._finish()
        data: bytes = self.canvas.getpdfdata()
        return data

    def _page(self, page: PageSpec) -> None:
        drawing = page.drawing
        self._forms(drawing.items)
        self.layers_here = []
        self.canvas.setPageSize((drawing.width * PT, drawing.height * PT))
        out: list[str] = [f"1 0 0 1 0 {n3(drawing.height * PT)} cm"]
        self.told.append([])
        self._operators(out, self._call_form, self._figure).items(drawing.items)
        self.canvas._code.extend(out)

    def _figure(self, text: str) -> int:
        self.told[-1].append(text)
        return len(self.told[-1]) - 1

    def _operators(
        self,
        out: list[str],
        form: Callable[[Group], str | None],
        figure: Callable[[str], int] | None = None,
    ) -> Operators:
        return Operators(out, self.fonts, form, self._use_layer, self._call_image, figure)

    # ------------------------------------------------------------ forms

    def _forms(self, items: Sequence[Any]) -> None:
        """Writes the forms that these items use and that are not there yet."""
        for item in items:
            if not isinstance(item, Group):
                if isinstance(item, PathItem) and item.fill is not None and item.fill.image is not None:
                    self._write_image(item.fill.image)
                continue
            if item.name is None:
                self._forms(item.items)
                continue
            known = self.forms.get(item.name)
            if known is not None:
                if known[1].items != item.items or known[1].clip != item.clip:
                    raise ValueError(f"two different groups are both named '{item.name}'")
                continue
            self._write_form(item)

    def _write_form(self, group: Group) -> None:
        key = f"f{len(self.forms)}"
        self.forms[group.name or ""] = (key, group)
        out: list[str] = []
        self.layers_here = []
        # Forms within a form are drawn in place: one level is all that pages need.
        self._operators(out, lambda _: None).form(group)
        layers = self.layers_here
        box = [float(n3(v)) for v in form_box(group)]
        self.canvas.beginForm(key, *box)
        self.canvas._code.extend(out)
        if layers:
            self.canvas.endForm(Resources=self._resources(layers))
        else:
            self.canvas.endForm()

    def _write_image(self, png: bytes) -> None:
        if png not in self.images:
            self.images[png] = f"i{len(self.images)}"
            self.canvas.beginForm(self.images[png], 0, 0, 1, 1)
            self.canvas.drawImage(ImageReader(io.BytesIO(png)), 0, 0, 1, 1, mask="auto")
            self.canvas.endForm()

    def _call_image(self, png: bytes) -> str:
        key = self.images[png]
        self.canvas._formsinuse.append(key)
        return f"/{self.document.getXObjectName(key)} Do"

    def _call_form(self, group: Group) -> str:
        key, _ = self.forms[group.name or ""]
        self.canvas._formsinuse.append(key)
        return f"/{self.document.getXObjectName(key)} Do"

    # ------------------------------------------------------------ layers

    def _use_layer(self, title: str) -> str:
        name = self.layers.setdefault(title, f"L{len(self.layers)}")
        if title not in self.layers_here:
            self.layers_here.append(title)
        return name

    def _resources(self, layers: list[str]) -> PDFResourceDictionary:
        resources = PDFResourceDictionary()
        resources.basicFonts()
        resources.allProcs()
        resources.Properties = {self.layers[t]: self._layer_reference(t) for t in layers}
        return resources

    def _layer_reference(self, title: str) -> Any:
        key = f"ocg-{self.layers[title]}"
        if key not in self.document.idToObject:
            group = PDFDictionary({"Type": PDFName("OCG"), "Name": PDFString(title)})
            return self.document.Reference(group, key)
        return pdfdoc.PDFObjectReference(key)

    def _give_layers(self, page: Any, layers: list[str]) -> None:
        resources = self._resources(layers)
        resources.XObject = page.XObjects or {}
        page.Resources = resources

    # ------------------------------------------------------------ the file as a whole

    def _finish(self) -> None:
        catalogue = self.document.Catalog
        if self.layers:
            listed = [title for title in self.ordered if title in self.layers]
            listed += [title for title in self.layers if title not in listed]
            refs = [self._layer_reference(title) for title in listed]
            catalogue.OCProperties = PDFDictionary(
                {
                    "OCGs": PDFArray(refs),
                    "D": PDFDictionary(
                        {
                            "Name": PDFString("Layers"),
                            "BaseState": PDFName("ON"),
                            "Order": PDFArray(refs),
                        }
                    ),
                }
            )
            catalogue.__NoDefault__ = [*catalogue.__NoDefault__, "OCProperties"]
        self.canvas.setViewerPreference("PrintScaling", "None")
        self.canvas.setViewerPreference("DisplayDocTitle", "true")
        preferences = catalogue.ViewerPreferences
        preferences.validate = dict(preferences.validate, PickTrayByPDFSize=pdfdoc.checkPDFBoolean)
        self.canvas.setViewerPreference("PickTrayByPDFSize", "true")
