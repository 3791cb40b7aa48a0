"""The blank student's workbook for paper: pages as data, printed as PDF and as HTML on A4."""
