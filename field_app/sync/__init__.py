"""How several people's devices agree: by files in a folder that they share, or by one file handed over.

It joins the store and the hand-over, which don't know each other.
"""

from field_app.handover.group import NOTICE, Disagreement, group_name
from field_app.store.sync import Merged, SetAside, set_aside
from field_app.sync.folder import sync_folder
from field_app.sync.report import FileTaken, Overdraft, SyncReport
from field_app.sync.settling import Choice, Subject, choices, disagreements, history, settle, subject
from field_app.sync.taking import DrawsTaken, group_bytes, is_list_of_draws, merge_bytes, merge_draws, take_in

__all__ = ["NOTICE", "Choice", "Disagreement", "DrawsTaken", "FileTaken", "Merged", "Overdraft", "SetAside", "Subject",
           "SyncReport", "choices", "disagreements", "group_bytes", "group_name", "history", "is_list_of_draws",
           "merge_bytes", "merge_draws", "set_aside", "settle", "subject", "sync_folder", "take_in"]
