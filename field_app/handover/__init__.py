"""Handing lots over to whoever plans the dye day, and checking what was handed over.

The file is a zipped Data Package 2.0: a spreadsheet, a map and their description, readable without this
program. Everything here takes bytes and gives bytes; nothing touches a disk.
"""

from field_app.handover.check import Report, check
from field_app.handover.columns import columns_text
from field_app.handover.days import DayOut
from field_app.handover.export import export_files
from field_app.handover.options import PlannerOptions
from field_app.handover.planner import planner_file

__all__ = ["DayOut", "PlannerOptions", "Report", "check", "columns_text", "export_files", "planner_file"]
