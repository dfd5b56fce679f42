"""How several people's devices agree: by files in a folder that they share, or by one file handed over.

It joins the store and the hand-over, which don't know each other.
"""

from field_app.sync.folder import sync_folder
from field_app.sync.report import FileTaken, Overdraft, SyncReport
from field_app.sync.taking import DrawsTaken, disagreements, group_bytes, is_list_of_draws, merge_bytes, merge_draws

__all__ = ["DrawsTaken", "FileTaken", "Overdraft", "SyncReport", "disagreements", "group_bytes", "is_list_of_draws",
           "merge_bytes", "merge_draws", "sync_folder"]
