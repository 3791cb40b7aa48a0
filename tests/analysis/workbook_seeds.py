"""Workbooks that are made to take memory, time or the whole program, each a few kilobytes."""

import io
import zipfile

BOOK = '<workbook><sheets><sheet name="a" r:id="r1" xmlns:r="r"/></sheets></workbook>'
LINKS = (
    '<Relationships><Relationship Id="r1" Type="x/worksheet" Target="worksheets/sheet1.xml"/>'
    '<Relationship Id="r2" Type="x/sharedStrings" Target="sharedStrings.xml"/></Relationships>'
)
CONTENT = (
    '<office:document-content xmlns:office="o" xmlns:table="t" xmlns:text="x"><office:body>'
    '<office:spreadsheet><table:table table:name="a">{}</table:table></office:spreadsheet>'
    "</office:body></office:document-content>"
)


def zipped(parts):
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as book:
        for name, content in parts.items():
            book.writestr(name, content)
    return file.getvalue()


def xlsx(rows, strings="<sst/>", sheet="<worksheet><sheetData>{}</sheetData></worksheet>"):
    return zipped(
        {
            "xl/workbook.xml": BOOK,
            "xl/_rels/workbook.xml.rels": LINKS,
            "xl/worksheets/sheet1.xml": sheet.format(rows),
            "xl/sharedStrings.xml": strings,
        }
    )


def ods(rows, content=CONTENT):
    return zipped({"content.xml": content.format(rows)})


def ods_row(text, across=1, down=1):
    return (
        f'<table:table-row table:number-rows-repeated="{down}"><table:table-cell '
        f'office:value-type="string" table:number-columns-repeated="{across}"><text:p>{text}'
        "</text:p></table:table-cell></table:table-row>"
    )


LAUGHS = "".join(f'<!ENTITY a{n} "{f"&a{n - 1};" * 10}">' for n in range(1, 12))
LONG = "long text " * 3_000
CELL = "<row><c{}><v>1</v></c></row>"
TOO_LARGE, DAMAGED, NOTHING = "lays out more than", "is damaged", "has no"

SEEDS = {
    "a claim of four thousand million strings.xlsx": (
        xlsx(CELL.format(' t="s"'), '<sst uniqueCount="4294967295"><si><t>x</t></si><si/></sst>'),
        NOTHING,
    ),
    "a far cell in single quotes.xlsx": (xlsx(CELL.format(" r='XFD1048576'")), TOO_LARGE),
    "a far cell with spaces.xlsx": (xlsx(CELL.format(' r = "XFD1048576" ')), TOO_LARGE),
    "a cell beyond the last.xlsx": (xlsx(CELL.format(' r="XFE1"')), DAMAGED),
    "a string that is not there.xlsx": (xlsx(CELL.format(' t="s"')), DAMAGED),
    "cells without a place.xlsx": (
        xlsx("<row>" + "<c><v>1</v></c>" * 16_385 + "</row>" + "<row><c><v>1</v></c></row>" * 70),
        TOO_LARGE,
    ),
    "one long text for every cell.xlsx": (
        xlsx(
            "<row>" + '<c t="s"><v>0</v></c>' * 1_000 + "</row>",
            f"<sst><si><t>{LONG}</t></si></sst>",
        ),
        TOO_LARGE,
    ),
    "elements without end in depth.xlsx": (xlsx("<a>" * 100_000), DAMAGED),
    "a tag without end.xlsx": (xlsx("<a b='" + ">" * 2_000_000), DAMAGED),
    "a name for every element.xlsx": (
        xlsx("".join(f"<a{n}/>" for n in range(10_000))),
        DAMAGED,
    ),
    "entities of entities.xlsx": (
        xlsx("&a11;", sheet=f'<!DOCTYPE a [<!ENTITY a0 "a">{LAUGHS}]><a>{{}}</a>'),
        DAMAGED,
    ),
    "a part of blanks.xlsx": (xlsx(" " * 101_000_000), TOO_LARGE),
    "parts without number.xlsx": (zipped({f"{n}": "" for n in range(2_001)}), TOO_LARGE),
    "long text repeated.ods": (ods(ods_row(LONG, 100, 10_000)), TOO_LARGE),
    "rows repeated.ods": (ods(ods_row("x", 16_000, 999_999_999)), TOO_LARGE),
    "columns repeated.ods": (ods(ods_row("x", 999_999_999)), TOO_LARGE),
    "no number of rows.ods": (ods(ods_row("x", 1, "9" * 5_000)), DAMAGED),
    "spaces repeated.ods": (ods(ods_row('<text:s text:c="999999999"/>')), TOO_LARGE),
    "a table left open.ods": (
        ods(ods_row("x"), CONTENT.replace("</table:table>", "")),
        DAMAGED,
    ),
}
"""Content, and what the sentence about it says."""
