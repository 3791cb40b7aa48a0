"""A measure that needs no typeface, boxes compared, and a page with every kind of block on it."""

from dataclasses import dataclass
from typing import Any

from sim.bench.ui.blocks import ButtonBox, FieldBox, Gap, TableBox, TableRow, Words
from sim.bench.ui.fields import NumberField, TextArea, TextLine

LONG = "Thermometercalibrationcertificatenumberandsoforthwithoutasinglespaceinit"


@dataclass(frozen=True)
class Square:
    """Every letter is half as wide as the size; bold ones are a pixel wider."""

    def width_px(self, text: str, size_px: int, bold: bool = False) -> int:
        return len(text) * (size_px // 2 + bold)

    def line_height_px(self, size_px: int, bold: bool = False) -> int:
        return size_px + 3


def meet(first, second):
    """Whether two boxes share a pixel."""
    across = first.x < second.right and second.x < first.right
    return across and first.y < second.bottom and second.y < first.bottom


def encloses(outer, inner):
    """Whether a box lies wholly inside another."""
    across = outer.x <= inner.x and inner.right <= outer.right
    return across and outer.y <= inner.y and inner.bottom <= outer.bottom


def every_kind() -> tuple[Any, ...]:
    """One page with all kinds of blocks, long words in each."""
    return (
        Words(f"Rough readings of {LONG}", "title"),
        Words(f"Write down what you read. {LONG} ½ ° ² ⁻ ¹ × ± λ θ"),
        Words("Readings stay on this computer.", "note"),
        Words(f"Water above 60 °C scalds. {LONG}", "caution"),
        FieldBox("temperature", NumberField.holding("42.5"), "temperature / °C", letters=6),
        FieldBox("height", NumberField.holding("31"), "rebound height", letters=6),
        FieldBox("line", TextLine.holding(LONG * 2), LONG),
        FieldBox("area", TextArea.holding(f"One.\n\nTwo {LONG} three."), LONG, rows=2),
        ButtonBox("write", "Write it down"),
        ButtonBox("strike", "Strike out"),
        ButtonBox("aid", "Call the next height out"),
        ButtonBox("long", f"{LONG} {LONG}"),
        TableBox(
            ("temperature / °C", "rebound height / cm", "how read"),
            (
                TableRow(("20.0", "17.5", "by eye")),
                TableRow(("20.0", "9", "by eye"), struck_out=f"hit the clamp {LONG}"),
                TableRow((FieldBox("cell", TextLine.holding("18 cm")), LONG, "called out")),
            ),
        ),
        Gap(20),
        FieldBox("last", NumberField(), "gradient", letters=8),
    )
