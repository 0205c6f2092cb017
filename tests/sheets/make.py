#!/usr/bin/env python3
"""Writes the sheets (flat OpenDocument) and has LibreOffice export them; needs `soffice` and nothing else.

Run it in this folder: `python3 make.py`. What it wrote is kept in the repository, so that the tests need neither.
"""
import pathlib, subprocess, tempfile
from xml.sax.saxutils import escape

HEADINGS = ["Tub", "Item", "Old code", "Cost", "Asking price (EUR)", "Date bought", "Notes", "Shelf"]
# Amounts and dates are typed cells, shown in the format of the sheet's language.
STOCK = [
    ("4A", "Copper jam pan, 28 cm", "K 117", 12.5, 64.0, "2026-11-21", 'lid says "Grand-mère"', "x"),
    ("4A", "Cafetière für 8 Tassen", "00451; 4012345678901", 3.0, 1234.5, "2026-03-04", "", ""),
    ("4B", 'Knitting pattern: bobble hat, 5"', "", 0.0, 4.95, "", "two lines\nin one cell", ""),
    ("", "Board game; 12 geese", "", None, None, "2026-01-31", "100% complete – naïve box", ""),
    ("4A", "=SUM of all parts", "-7", 1.0, 20.0, "2026-12-01", "@home", ""),
    ("4A", "'70s fondue set", "", 1000.0, 2345.67, "2026-02-28", "+1 fork", ""),
]
SIGNS = [
    ("", "Teapot 🫖 with cosy", "", 2.0, 9.0, "2026-11-21", "日本の急須", ""),
    ("", "Łyżka wazowa", "", 2.0, 9.0, "2026-11-21", "Ω", ""),
]
EMPTY = [("",) * 8] * 3

DATE_STYLES = {
    "de": '<number:day number:style="long"/><number:text>.</number:text><number:month number:style="long"/>'
          '<number:text>.</number:text><number:year number:style="long"/>',
    "en": '<number:day number:style="long"/><number:text>/</number:text><number:month number:style="long"/>'
          '<number:text>/</number:text><number:year number:style="long"/>',
    "us": '<number:month/><number:text>/</number:text><number:day/><number:text>/</number:text>'
          '<number:year number:style="long"/>',
}
AMOUNT = '<number:number number:decimal-places="2" number:min-integer-digits="1" number:grouping="true"/>'
AMOUNT_STYLES = {
    "de": ("de", "DE", AMOUNT + "<number:text> €</number:text>"),
    "en": ("en", "GB", "<number:text>€</number:text>" + AMOUNT),
    "us": ("en", "US", AMOUNT),
}

def cell(value, kind):
    if value in (None, ""):
        return "<table:table-cell/>"
    if kind == "amount":
        return f'<table:table-cell table:style-name="m" office:value-type="float" office:value="{value}"/>'
    if kind == "date":
        return f'<table:table-cell table:style-name="d" office:value-type="date" office:date-value="{value}"/>'
    lines = "".join(f"<text:p>{escape(line)}</text:p>" for line in value.split("\n"))
    return f'<table:table-cell office:value-type="string">{lines}</table:table-cell>'

def row(values, kinds):
    return "<table:table-row>" + "".join(map(cell, values, kinds)) + "</table:table-row>"

def sheet(name, rows, look):
    kinds = ["text", "text", "text", "amount", "amount", "date", "text", "text"]
    body = row(HEADINGS, ["text"] * 8) + "".join(row(values, kinds) for values in rows + EMPTY)
    language, country, amount = AMOUNT_STYLES[look]
    spaces = " ".join(f'xmlns:{short}="urn:oasis:names:tc:opendocument:xmlns:{long}:1.0"' for short, long in
        [("office", "office"), ("table", "table"), ("text", "text"), ("number", "datastyle"), ("style", "style")])
    pathlib.Path(name).write_text(f'''<?xml version="1.0" encoding="UTF-8"?>
<office:document {spaces} office:version="1.2" office:mimetype="application/vnd.oasis.opendocument.spreadsheet">
<office:automatic-styles>
<number:date-style style:name="ds">{DATE_STYLES[look]}</number:date-style>
<number:number-style style:name="ms" number:language="{language}" number:country="{country}">{amount}</number:number-style>
<style:style style:name="d" style:family="table-cell" style:data-style-name="ds"/>
<style:style style:name="m" style:family="table-cell" style:data-style-name="ms"/>
</office:automatic-styles>
<office:body><office:spreadsheet><table:table table:name="stock">{body}</table:table></office:spreadsheet></office:body>
</office:document>
''', encoding="utf-8")

# Parts of the export filter's options: delimiter, quote, encoding, first row, columns, language, quote all texts.
# 76 is UTF-8, 65535 UTF-16, 1 Windows-1252.
COMMA, SEMICOLON, TAB = 44, 59, 9
UTF8, UTF16, CP1252 = 76, 65535, 1

def export(source, target, delimiter, encoding, quote_all=False):
    options = f"{delimiter},34,{encoding},1,,0,{str(quote_all).lower()}"
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["soffice", f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to",
                        f"csv:Text - txt - csv (StarCalc):{options}", "--outdir", folder, source], check=True)
        made = pathlib.Path(folder, pathlib.Path(source).stem + ".csv")
        pathlib.Path(target).write_bytes(made.read_bytes())

for look in ["de", "en", "us"]:
    sheet(f"stock-{look}.fods", STOCK, look)
sheet("signs.fods", SIGNS, "de")
export("stock-de.fods", "comma.csv", COMMA, UTF8)
export("stock-de.fods", "semicolon.csv", SEMICOLON, UTF8)
export("stock-de.fods", "tab.csv", TAB, UTF8)
export("stock-de.fods", "utf16.csv", SEMICOLON, UTF16)
export("stock-de.fods", "windows-1252.csv", SEMICOLON, CP1252)
export("stock-de.fods", "all-quoted.csv", COMMA, UTF8, quote_all=True)
export("stock-en.fods", "english.csv", COMMA, UTF8)
export("stock-us.fods", "month-first.csv", COMMA, CP1252)
export("signs.fods", "signs-utf8.csv", COMMA, UTF8)
export("signs.fods", "signs-utf16.csv", TAB, UTF16)
