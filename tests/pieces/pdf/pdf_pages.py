"""PDF files made by hand, object by object, by ISO 32000-1; nothing here comes from our writers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from pieces.pdf.sheets import Asked
from pieces.piece import Draft
from pieces.ready import read_pieces

K = 72 / 25.4
"""Points in a millimetre."""
A4 = (210.0, 297.0)


@dataclass(frozen=True)
class Sheet:
    """A page: its content in mm, from the lower left, and what else its dictionary has."""

    content: str
    size_mm: tuple[float, float] = A4
    more: str = ""
    layers: Sequence[str] = ()
    forms: Mapping[str, str] = field(default_factory=dict)


def pdf(*sheets: Sheet, off: Sequence[str] = ()) -> bytes:
    """A whole file; layers `off` are not seen until somebody turns them on."""
    objects: list[str] = ["", ""]

    def add(body: str) -> int:
        objects.append(body)
        return len(objects)

    font = add("<</Type/Font/Subtype/Type1/BaseFont/Helvetica>>")
    pages = []
    groups: dict[str, int] = {}
    for sheet in sheets:
        wide, tall = (side * K for side in sheet.size_mm)
        for name in sheet.layers:
            groups.setdefault(name, 0)
            groups[name] = groups[name] or add(f"<</Type/OCG/Name({name})>>")
        own = "".join(f"/L{i} {groups[name]} 0 R" for i, name in enumerate(sheet.layers))
        forms = "".join(
            f"/{name} {add(_stream(body, _FORM))} 0 R" for name, body in sheet.forms.items()
        )
        content = add(_stream(f"{K:.6f} 0 0 {K:.6f} 0 0 cm 0.4 w\n{sheet.content}"))
        box = "" if "/MediaBox" in sheet.more else f"/MediaBox[0 0 {wide:.4f} {tall:.4f}]"
        pages.append(
            add(
                f"<</Type/Page/Parent 2 0 R/Contents {content} 0 R{box}{sheet.more}/Resources"
                f"<</Font<</F1 {font} 0 R>>/Properties<<{own}>>/XObject<<{forms}>>>>>>"
            )
        )
    kids = " ".join(f"{page} 0 R" for page in pages)
    known = " ".join(f"{number} 0 R" for number in groups.values())
    hidden = " ".join(f"{groups[name]} 0 R" for name in off)
    usual = f"/OFF[{hidden}]" if off else ""
    objects[0] = f"<</Type/Catalog/Pages 2 0 R/OCProperties<</OCGs[{known}]/D<<{usual}>>>>>>"
    objects[1] = f"<</Type/Pages/Count {len(pages)}/Kids[{kids}]>>"
    return _file(objects)


_FORM = "/Type/XObject/Subtype/Form/BBox[-2000 -2000 4000 4000]/Matrix[0 1 -1 0 200 10]"


def _stream(content: str, head: str = "") -> str:
    return f"<<{head}/Length {len(content.encode('latin-1'))}>>stream\n{content}\nendstream"


def _file(objects: Sequence[str]) -> bytes:
    data = b"%PDF-1.7\n"
    places = []
    for number, body in enumerate(objects, 1):
        places.append(len(data))
        data += f"{number} 0 obj\n{body}\nendobj\n".encode("latin-1")
    table = "".join(f"{place:010d} 00000 n \n" for place in places)
    count = len(objects) + 1
    end = f"xref\n0 {count}\n0000000000 65535 f \n{table}trailer\n<</Size {count}/Root 1 0 R>>\n"
    return data + f"{end}startxref\n{len(data)}\n%%EOF\n".encode("latin-1")


def path(points: Sequence[tuple[float, float]], *, closed: bool = True) -> str:
    first, *rest = (f"{x:.4f} {y:.4f}" for x, y in points)
    return f"{first} m " + "".join(f"{point} l " for point in rest) + ("s\n" if closed else "S\n")


def box(x: float, y: float, wide: float, tall: float) -> str:
    return f"{x} {y} {wide} {tall} re S\n"


def text(words: str, x: float, y: float, size: float = 4.0) -> str:
    return f"BT /F1 {size} Tf {x} {y} Td ({words}) Tj ET\n"


def on_layer(number: int, content: str) -> str:
    return f"/OC /L{number} BDC\n{content}EMC\n"


def styled(content: str, colour: str = "0 0 0", dashes: str = "[] 0") -> str:
    return f"q {colour} RG {dashes} d\n{content}Q\n"


def read(folder: Path, data: bytes, **told: object) -> Draft:
    file = folder / "dress.pdf"
    file.write_bytes(data)
    return read_pieces(file, asked=Asked(**told))  # type: ignore[arg-type]


def codes(draft: Draft) -> set[str]:
    return {finding.code for finding in draft.findings}


def told(draft: Draft, code: str) -> str:
    return " ".join(finding.message for finding in draft.findings if finding.code == code)
