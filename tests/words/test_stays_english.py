"""What is stored, hashed or handed to programs is the same whatever language is spoken; what people read is not."""

from __future__ import annotations

import datetime as dt
import itertools
from collections.abc import Callable
from pathlib import Path

import pytest

from field_app.core.cautions import cautions_for
from field_app.core.load import estimate_lot
from field_app.core.materials import material
from field_app.core.problems import Problem
from field_app.handover.export import export_files
from field_app.handover.planner import planner_file
from field_app.handover.take import take
from field_app.store import FieldBook
from field_app.store.seed import fill_demo
from field_app.sync import set_aside
from field_app.sync.taking import group_bytes, merge_bytes
from field_app.words import named
from tests.words.unspoken import bracketed, outside

MADE = dt.datetime.fromisoformat("2026-10-09T18:00:00-02:00")


def ids() -> Callable[[], str]:
    """Ids in a row, the same every time."""
    numbers = itertools.count(1)
    return lambda: f"urn:uuid:0199c3a4-7b1e-7d2f-9a41-{next(numbers):012x}"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> FieldBook:
    """The demo scenario, told in English."""
    return fill_demo(tmp_path_factory.mktemp("plain") / "demo", new_id=ids())


def test_records_are_the_same_in_every_language(book: FieldBook, tmp_path: Path) -> None:
    """The demo told in another language has the same bytes, record by record."""
    with bracketed():
        other = fill_demo(tmp_path / "demo", new_id=ids())
    assert list(other.log_book.texts()) == list(book.log_book.texts())


def test_files_for_programs_are_the_same_in_every_language(book: FieldBook) -> None:
    """The planner's file, the group file and the exports have the same bytes in every language."""
    def files() -> dict[str, bytes]:
        lots, sites = book.lots(limit=-1), book.sites()
        return {"planner": planner_file(lots, sites, made=MADE), "group": group_bytes(book),
                **export_files(lots, sites, made=MADE)}

    plain = files()
    with bracketed():
        assert files() == plain


def test_reasons_are_kept_in_english_and_told_as_spoken(book: FieldBook) -> None:
    """What is set aside carries its reason in English, while the person is told in the language that is spoken."""
    broken = b"\x1e{}\n"
    with bracketed():
        taken = take(broken)
        merge_bytes(book, broken, "found.geojsons")
    (_, kept), = taken.quarantined
    told, = taken.problems
    assert kept.what == "is not a GeoJSON Feature with properties"
    assert outside(told.what).strip() == ""
    assert [one.problem.what for one in set_aside(book.log_book)] == [kept.what]


def test_what_is_estimated_of_a_lot_is_told_as_spoken(book: FieldBook) -> None:
    """Names, values and sources of all reasons come through the catalogue, and so do cautions and the time it keeps."""
    lot = book.lots(limit=1)[0]
    with bracketed():
        worth = estimate_lot(lot.facts, material(lot.facts.material))
        said = [text for reason in worth.reasons() for text in (reason.name, reason.source) if text]
        said += [text for one in cautions_for("black-walnut", "hull", "keep") for text in (one.title, one.text)]
        said += [worth.use_by.words, worth.use_by.advice, *worth.surer]
    assert [text for text in said if outside(text).strip(" ;,")] == []
    assert {reason.basis for reason in worth.reasons()} <= {"weighed", "counted", "poured", "said", "own", "default",
                                                            "worked out"}


@pytest.mark.parametrize(("where", "rest"), [
    ("gross", ""), ("lot 7K3M", ""), ("lots.csv row 3, gross", ", gross"), ("data folder /there, or here", ""),
    ("found.zip, versions.geojsons record 3, hlc", ", hlc"), ("lot 7K3M, pot", ","),
])
def test_a_place_is_a_key_and_is_told_as_spoken(where: str, rest: str) -> None:
    """Fields and things come through the catalogue; columns and members of files stay as they stand there."""
    assert named(where) == where
    with bracketed():
        assert outside(named(where)).split() == rest.split()
        assert Problem(where, "is empty", "").where == where
