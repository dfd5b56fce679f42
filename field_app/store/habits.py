"""Keeps what the person on this device is used to, in the table that is never handed on."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

from field_app.core.habits import Habits, habits_from
from field_app.store.folder import DATABASE, PATIENCE
from field_app.store.log import Log
from field_app.store.own import HABITS

__all__ = ["habits_in", "keep_habits", "kept_habits"]

_READ = "select value from own where key = ?"


def kept_habits(log: Log) -> Habits:
    """What the person chose on this device; the plain habits, where nothing was chosen or it can't be read."""
    with log.reading() as connection:
        return _read(connection.execute(_READ, (HABITS,)).fetchone())


def keep_habits(log: Log, chosen: Habits) -> None:
    """Keep the choice, lasting when this returns. Raises the folder faults."""
    with log.writing() as connection:
        connection.execute("insert or replace into own (key, value) values (?, ?)",
                           (HABITS, json.dumps(chosen.as_texts(), sort_keys=True)))


def habits_in(folder: Path) -> Habits:
    """What was chosen in a data folder, before it is opened, so that even a fault of it is told as chosen.

    Nothing is written. The plain habits, if there is no folder of ours, or it can't be read now.
    """
    path = folder / DATABASE
    if not path.is_file():
        return Habits()
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, timeout=PATIENCE)) as connection:
            return _read(connection.execute(_READ, (HABITS,)).fetchone())
    except sqlite3.Error:
        return Habits()


def _read(row: tuple[str] | None) -> Habits:
    try:
        texts = json.loads(row[0]) if row else {}
        return habits_from({str(name): str(value) for name, value in texts.items()})
    except (ValueError, AttributeError, TypeError):  # a choice that the disk has changed can be made again
        return Habits()
