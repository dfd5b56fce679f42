"""What is printed: labels for the pails, the sheet for a dye day, and past seasons, as PDF made without a network.

Everything here takes values of the core and gives bytes; the libraries that make them are imported when first used.
"""

from field_app.paper.day_sheet import day_sheet
from field_app.paper.labels import Grid, labels_pdf
from field_app.paper.lot_label import LotLabel, lot_label
from field_app.paper.page import PAPERS, Paper, pdf_name
from field_app.paper.season_report import season_report

__all__ = ["PAPERS", "Grid", "LotLabel", "Paper", "day_sheet", "labels_pdf", "lot_label", "pdf_name", "season_report"]
