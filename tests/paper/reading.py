"""Reading a PDF back, with libraries that have nothing to do with the one that wrote it."""

from pathlib import Path
from typing import Any

import pypdfium2
from pypdf import PdfReader
from pypdf.generic import DictionaryObject, NameObject, StreamObject


def opened(path: Path) -> PdfReader:
    """The file, its words quick to read: a mark holds none, but its fonts would be read anew each time it stands."""
    reader = PdfReader(path)
    seen: set[int] = set()
    for page in reader.pages:
        _lighten(page, seen)
    return reader


def _lighten(owner: DictionaryObject, seen: set[int]) -> None:
    resources = owner["/Resources"]
    assert isinstance(resources, DictionaryObject)
    forms = resources.get("/XObject", DictionaryObject()).get_object()
    assert isinstance(forms, DictionaryObject)
    for name in forms:
        form = forms[name]
        assert isinstance(form, StreamObject)
        if id(form) in seen:
            continue
        seen.add(id(form))
        if b" Tj" in form.get_data():
            _lighten(form, seen)
        else:
            form[NameObject("/Resources")] = DictionaryObject()


def page_texts(path: Path) -> list[str]:
    """The words of each page, with single spaces."""
    return [" ".join(page.extract_text().split()) for page in opened(path).pages]


def all_text(path: Path) -> str:
    """The words of the whole file."""
    return " ".join(page_texts(path))


def sizes_pt(path: Path) -> set[float]:
    """Every type size a text is set in."""
    found: set[float] = set()

    def visit(text: str, matrix: Any, text_matrix: Any, font: Any, size: float) -> None:
        if text.strip():
            found.add(round(size, 2))

    for page in opened(path).pages:
        page.extract_text(visitor_text=visit)
    return found


def ink_box_mm(path: Path) -> list[tuple[float, float, float, float]]:
    """For each page the left, top, right and bottom of all that is not white, in mm from the paper's top left."""
    boxes = []
    per_mm = 6
    document = pypdfium2.PdfDocument(path)
    for page in document:
        image = page.render(scale=per_mm * 25.4 / 72, grayscale=True).to_pil()
        box = image.point(lambda grey: 255 if grey < 200 else 0).getbbox()
        assert box is not None
        boxes.append(tuple(edge / per_mm for edge in box))
    document.close()
    return boxes


def greys(path: Path, page: int = 0) -> set[tuple[int, int, int]]:
    """The colours of a page drawn without smoothing."""
    document = pypdfium2.PdfDocument(path)
    image = (
        document[page]
        .render(scale=2, no_smoothtext=True, no_smoothpath=True, no_smoothimage=True)
        .to_pil()
        .convert("RGB")
    )
    document.close()
    return {colour for _, colour in image.getcolors(1 << 20)}
