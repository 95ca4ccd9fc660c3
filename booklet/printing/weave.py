"""Pages of other PDFs laid on the booklet's own empty ones, whole and no larger than the page."""

from __future__ import annotations

import io
from collections.abc import Sequence

from booklet.drawing.page import PageSpec
from booklet.problems import Fault


def weave(pdf: bytes, pages: Sequence[PageSpec]) -> bytes:
    """The file with the pages that `pages` names; as it was where there are none. Raises `Fault` for one that fails."""
    wanted = [(n, page.woven) for n, page in enumerate(pages) if page.woven is not None]
    if not wanted:
        return pdf
    from pypdf import PdfReader, PdfWriter

    writer = PdfWriter(clone_from=io.BytesIO(pdf))
    readers: dict[str, PdfReader] = {}
    for n, (file, k) in wanted:
        try:
            if file not in readers:
                readers[file] = PdfReader(file)
            _lay(writer.pages[n], PdfWriter().add_page(readers[file].pages[k]))
        except Exception as error:  # a reader may fail in any way on a damaged file
            said = " ".join(str(error).split())[:80]
            raise Fault.of(
                "pack-pages",
                f"page {k + 1} of {file} cannot be taken in: {said}",
                None,
                "Save it as a PDF again.",
            ) from None
    writer.add_metadata({"/Producer": "booklet"})
    writer.pdf_header = "%PDF-1.5"
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _lay(page, source) -> None:  # type: ignore[no-untyped-def]
    """The source in the middle of the page, scaled down if it is larger."""
    from pypdf import Transformation
    from pypdf.generic import NameObject

    source.transfer_rotation_to_content()
    box = source.cropbox
    wide, high = float(box.width), float(box.height)
    here = page.mediabox
    scale = min(1.0, float(here.width) / wide, float(here.height) / high)
    x = (float(here.width) - wide * scale) / 2 - float(box.left) * scale
    y = (float(here.height) - high * scale) / 2 - float(box.bottom) * scale
    for key in ("/Annots", "/AA"):
        source.pop(NameObject(key), None)
    page.merge_transformed_page(source, Transformation().scale(scale).translate(x, y), over=True)
    page.compress_content_streams()
