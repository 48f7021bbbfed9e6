"""Pictures as SVG from plain numbers: one module for each, and the helpers they share.

Each picture is a function from a frozen record of numbers and labels to SVG text. The same text
goes on the screen (it writes in the page's own ink, so it suits light and dark) and into the PDF.
"""
