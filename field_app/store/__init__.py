"""The only room with a database: an append-only log of versions and, beside it, what holds now."""

from field_app.store.backup import BackedUp, back_up, backup_bytes, check_backup, write_backup
from field_app.store.book import FieldBook, open_book
from field_app.store.by_label import lots_like
from field_app.store.calendar import Due, calendar_days, due_days, left_out
from field_app.store.cloths import add_cloth, change_cloth, cloth_list, cloth_lists
from field_app.store.fixes import add_fix, place_site
from field_app.store.folder import DATABASE, holds_data
from field_app.store.forecasts import Forecasts
from field_app.store.habits import habits_in, keep_habits, kept_habits
from field_app.store.inspection import inspect, mixed
from field_app.store.journal import HEAD, Journal, JournalLog, read_journal
from field_app.store.log import Log
from field_app.store.looks import add_look, look_of, looks_at
from field_app.store.own_values import correct_test, note_test, own_records, set_value, take_back_value, value_held
from field_app.store.photographs import KEPT_FOR, Album, Photograph
from field_app.store.plans import (
    add_plan,
    change_plan,
    finish_plan,
    lots_of_plan,
    plan_of,
    plans,
    pots_of_plan,
    pots_owned,
)
from field_app.store.restoring import add_backup, add_photographs, restore
from field_app.store.rounds import candidates, need_of, still_agreed
from field_app.store.season_review import season_review, season_steps
from field_app.store.seed import SEASON_DAY, fill_demo
from field_app.store.shelf import PHOTOGRAPHS, FolderShelf, Shelf, is_name, sound
from field_app.store.swatches import correct_swatch, note_swatch, palette_in_force, swatches_of
from field_app.store.taken_back import TakenBack, bring_back, count_taken_back, taken_back
from field_app.store.timing import Timing, ground_at, timing_of, timings
from field_app.store.vessels import add_vessel, change_vessel, own_pots, vessel, vessels
from field_app.store.warmth import Series, take_weather, warmth_series

__all__ = [
    "DATABASE",
    "HEAD",
    "KEPT_FOR",
    "PHOTOGRAPHS",
    "SEASON_DAY",
    "Album",
    "BackedUp",
    "Due",
    "FieldBook",
    "FolderShelf",
    "Forecasts",
    "Journal",
    "JournalLog",
    "Log",
    "Photograph",
    "Series",
    "Shelf",
    "TakenBack",
    "Timing",
    "add_backup",
    "add_cloth",
    "add_fix",
    "add_look",
    "add_photographs",
    "add_plan",
    "add_vessel",
    "back_up",
    "backup_bytes",
    "bring_back",
    "calendar_days",
    "candidates",
    "change_cloth",
    "change_plan",
    "change_vessel",
    "check_backup",
    "cloth_list",
    "cloth_lists",
    "correct_swatch",
    "correct_test",
    "count_taken_back",
    "due_days",
    "fill_demo",
    "finish_plan",
    "ground_at",
    "habits_in",
    "holds_data",
    "inspect",
    "is_name",
    "keep_habits",
    "kept_habits",
    "left_out",
    "look_of",
    "looks_at",
    "lots_like",
    "lots_of_plan",
    "mixed",
    "need_of",
    "note_swatch",
    "note_test",
    "open_book",
    "own_pots",
    "own_records",
    "palette_in_force",
    "place_site",
    "plan_of",
    "plans",
    "pots_of_plan",
    "pots_owned",
    "read_journal",
    "restore",
    "season_review",
    "season_steps",
    "set_value",
    "sound",
    "still_agreed",
    "swatches_of",
    "take_back_value",
    "take_weather",
    "taken_back",
    "timing_of",
    "timings",
    "value_held",
    "vessel",
    "vessels",
    "warmth_series",
    "write_backup",
]
