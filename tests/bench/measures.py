"""A measure that needs no typeface, and a page with every kind of box on it."""

from dataclasses import dataclass, replace
from typing import Any

from sim.bench.ui.blocks import (
    AreaBox,
    Button,
    ButtonBox,
    Caution,
    CellField,
    Choice,
    ChoiceBox,
    FieldBox,
    Gap,
    Heading,
    Paragraph,
    Row,
    TableBox,
    Tick,
    TickBox,
)
from sim.bench.ui.fields import NumberField, TextArea, TextLine

LONG = "Thermometercalibrationcertificatenumberandsoforthwithoutasinglespaceinit"


@dataclass(frozen=True)
class Square:
    """Every letter is half as wide as the size; bold ones are a pixel wider."""

    def width_px(self, text: str, size_px: int, bold: bool = False) -> int:
        return len(text) * (size_px // 2 + bold)

    def line_height_px(self, size_px: int, bold: bool = False) -> int:
        return size_px + 3


def every_kind(focused: str = "") -> tuple[Any, ...]:
    """One page with all kinds of boxes, long words in each; a name may have the focus."""
    page = (
        Heading(f"Rough readings of {LONG}"),
        Paragraph(f"Write down what you read. {LONG} ½ ° ² ⁻ ¹ × ± λ θ", small=False),
        Paragraph("Readings stay on this computer.", small=True),
        Caution(f"Water above 60 °C scalds. {LONG}"),
        FieldBox("temperature", "temperature", NumberField.holding("42.5"), unit="°C", letters=6),
        FieldBox("height", "rebound height", NumberField.holding("31"), unit="cm", letters=6),
        FieldBox("line", LONG, TextLine.holding(LONG * 2), unit="cm °C⁻¹", note=LONG),
        FieldBox("off", "drop height", NumberField.holding("100"), letters=6, enabled=False),
        AreaBox(
            "area", LONG, TextArea.holding(f"One.\n\nTwo {LONG} three."), rows=2, note="Say why."
        ),
        ButtonBox("write", Button("Write it down")),
        ButtonBox("strike", Button("Strike out")),
        ButtonBox("aid", Button("Call the next height out", enabled=False)),
        ButtonBox("long", Button(f"{LONG} {LONG}")),
        ChoiceBox("choice", "Repeatable?", Choice(("Yes", f"No {LONG}", "Cannot tell"), 1)),
        TickBox("tick", Tick(f"I wiped the floor {LONG}", on=True)),
        TableBox(
            ("temperature / °C", "rebound height / cm", "how read"),
            (
                Row(("20.0", "17.5", "by eye"), name="row 1"),
                Row(("20.0", "9", "by eye"), name="row 2", struck_out=f"hit the clamp {LONG}"),
                Row((CellField("cell", TextLine.holding("18 cm")), LONG, "called out")),
            ),
        ),
        Gap(20),
        FieldBox("last", "gradient", NumberField(), letters=8),
    )
    return tuple(_focus(box, focused) for box in page)


def _focus(box: Any, name: str) -> Any:
    if isinstance(box, TableBox):
        return TableBox(box.headings, tuple(_focus_row(row, name) for row in box.rows))
    return replace(box, focused=True) if getattr(box, "name", None) == name else box


def _focus_row(row: Row, name: str) -> Row:
    cells = tuple(
        replace(c, focused=c.name == name) if isinstance(c, CellField) else c for c in row.cells
    )
    return replace(row, cells=cells, focused=row.name == name and bool(name))
