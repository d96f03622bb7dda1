"""Thickness and width of a row: by the name of a size, or as measured."""

from __future__ import annotations

from dataclasses import dataclass

from stock.columns import Row
from stock.lengths import Length
from stock.sizes import Dried, Size


@dataclass(frozen=True, slots=True, kw_only=True)
class Measures:
    """Actual thickness and width in inches, and the size they go by, if it was named."""

    thickness: Length
    width: Length
    size: Size | None = None

    @property
    def size_name(self) -> str:
        return self.size.name if self.size else ""

    @property
    def named_width(self) -> bool:
        """Whether the size names a width: hardwood quarters do not."""
        return self.size is not None and self.size.actual(Dried.DRY)[1] is not None


def read_measures(row: Row, dried: Dried) -> Measures | None:
    """The measures of a row; what was measured goes before what the size says.

    None where a fault is in the way; it is noted in the row.
    """
    size, thickness, width = row["Size"], row["Thickness"], row["Width"]
    if not row.sound("Size", "Thickness", "Width"):
        return None
    if size:
        named_thickness, named_width = size.actual(dried)
        thickness, width = thickness or named_thickness, width or named_width
    if thickness and width:
        return Measures(thickness=thickness, width=width, size=size)
    if size:
        row.refuse("Width", f"{size.name} comes in any width", "type the width of this one")
    elif thickness and row.has("Width"):
        row.refuse("Width", "it is empty", "type the width, or a Size")
    elif width and row.has("Thickness"):
        row.refuse("Thickness", "it is empty", "type the thickness, or a Size")
    elif row.has("Size"):
        row.refuse("Size", "there is no size", "type a Size like 2x4, or Thickness and Width")
    return None  # else the missing column is a fault once, not per row
