"""What is printed: labels for the pails and the sheet for a dye day, as PDF made without a network.

Everything here takes values of the core and gives bytes; the libraries that make them are imported when first used.
"""

from field_app.paper.day_sheet import day_sheet
from field_app.paper.labels import Grid, labels_pdf
from field_app.paper.lot_label import LotLabel, lot_label
from field_app.paper.page import PAPERS

__all__ = ["PAPERS", "Grid", "LotLabel", "day_sheet", "labels_pdf", "lot_label"]
