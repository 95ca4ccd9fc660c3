"""What a PDF holds for programs and for people who can't see it: pictures told in words, and files attached.

The pictures are marked and named in a structure tree of their own (ISO 32000-1, 14.7 and 14.9.3). The words on the pages are
not tagged, so the file doesn't say of itself that it is a tagged one.
"""

from __future__ import annotations

import codecs
from collections.abc import Sequence
from typing import Any

from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFName,
    PDFObjectReference,
    PDFStream,
    PDFString,
    PDFZCompress,
)

from booklet.printing.files import Attached

_MEDIA = {"yaml": "application#2Fyaml", "svg": "image#2Fsvg+xml", "dxf": "image#2Fvnd.dxf"}


def tell_pictures(document: Any, told: Sequence[Sequence[str]]) -> None:
    """Figures with their words, page by page: the n-th text of a page belongs to its marked content n."""
    if not any(told):
        return
    root = PDFObjectReference("told-root")
    figures: list[Any] = []
    numbers: list[Any] = []
    for n, texts in enumerate(told):
        if not texts:
            continue
        page = PDFObjectReference(f"Page{n + 1}")
        own = []
        for k, text in enumerate(texts):
            figure = PDFDictionary(
                {
                    "Type": PDFName("StructElem"),
                    "S": PDFName("Figure"),
                    "P": root,
                    "Pg": page,
                    "K": k,
                    "Alt": PDFString(text),
                }
            )
            own.append(document.Reference(figure, f"told-{n}-{k}"))
        figures += own
        numbers += [n, PDFArray(own)]
        sheet = document.Pages.pages[n]
        sheet.StructParents = n
        sheet.__NoDefault__ = [*sheet.__NoDefault__, "StructParents"]
    tree = PDFDictionary(
        {
            "Type": PDFName("StructTreeRoot"),
            "K": PDFArray(figures),
            "ParentTree": PDFDictionary({"Nums": PDFArray(numbers)}),
        }
    )
    document.Reference(tree, "told-root")
    document.Catalog.StructTreeRoot = root


def attach(document: Any, files: Sequence[Attached]) -> None:
    """Carries files along as the document's sources, under their names."""
    if not files:
        return
    names: list[Any] = []
    specs: list[Any] = []
    for file in sorted(files, key=lambda f: _as_written(f.name)):
        kind = _MEDIA.get(file.name.rpartition(".")[2].lower(), "application#2Foctet-stream")
        stream = PDFStream(
            PDFDictionary(
                {
                    "Type": PDFName("EmbeddedFile"),
                    "Subtype": f"/{kind}",
                    "Params": PDFDictionary({"Size": len(file.data)}),
                }
            ),
            content=file.data,
            filters=[PDFZCompress],
        )
        held = document.Reference(stream, f"file.{file.name}")
        spec = PDFDictionary(
            {
                "Type": PDFName("Filespec"),
                "F": PDFString(file.name),
                "UF": PDFString(file.name),
                "AFRelationship": PDFName("Source"),
                "EF": PDFDictionary({"F": held}),
            }
        )
        reference = document.Reference(spec, f"spec.{file.name}")
        names += [PDFString(file.name), reference]
        specs.append(reference)
    catalogue = document.Catalog
    catalogue.Names = PDFDictionary({"EmbeddedFiles": PDFDictionary({"Names": PDFArray(names)})})
    catalogue.AF = PDFArray(specs)
    catalogue.__NoDefault__ = [*catalogue.__NoDefault__, "AF"]


def _as_written(name: str) -> bytes:
    """The bytes by which a tree of names is ordered (ISO 32000-1, 7.9.6): PDFDocEncoding, or UTF-16 where that lacks a sign."""
    try:
        return name.encode("pdfdoc")  # reportlab's codec
    except UnicodeEncodeError:
        return codecs.BOM_UTF16_BE + name.encode("utf-16-be")
