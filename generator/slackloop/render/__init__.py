"""Typed blocks and tables written out: HTML, Typst, workbook, CSV and JSON."""
