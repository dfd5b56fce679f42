"""What does not fit the form of a record is told in our own words, whatever the library calls it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from typing import Any, get_args

import pytest
from pydantic import BaseModel, Field, ValidationError
from pydantic_core.core_schema import ErrorType

from field_app.core.facts import FixFacts
from field_app.core.habits import PLAIN, go_by
from field_app.core.misfits import _LIMITS, _OTHER, _WORDS, Misfit, misfit
from field_app.core.plans import PlanBath, PlanLot
from field_app.core.problems import Refused
from field_app.core.records import Version
from field_app.core.swatches import SwatchFacts
from field_app.core.trust import MODELS, examine
from field_app.store.backup_source import _ROWS
from field_app.words import tr

FORMS: tuple[type[BaseModel], ...] = (*MODELS.values(), SwatchFacts, FixFacts, PlanLot, PlanBath)
#: What a file may hold where something else belongs: each kind of JSON value, and texts that look like another kind.
BAD: tuple[Any, ...] = (
    None, True, False, 0, -1, 3, 2**70, 1.5, float("nan"), float("inf"), 1e300, "", "x", "12", "12.5", "9" * 5000,
    "2026-13-01", "10000-01-01", "2026-10-08T25:00:00Z", "2026-02-31T10:00:00Z", "2026-10-08T15:24:00-02:00",
    [], ["x"], [None], {}, {"a": 1}, [{}], [[]], b"\xff", "\ud800")
_ROW = {"sha256": "0" * 64, "kind": "jpeg", "size": 9, "of": "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa0001",
        "at": "2026-10-08T15:24:00-02:00"}
#: Lists of photographs that are none: not JSON, no list, no rows, rows that lack a member or have a wrong one.
ROWS = ("{", "{}", "[1]", "[{}]", '["\\ud800"]', *(json.dumps([_ROW | change]) for change in (
    {"moon": 1}, {"size": 0}, {"size": 99_999_999_999}, {"size": "1"}, {"size": 1.5}, {"sha256": "x"}, {"kind": "x"},
    {"kind": 1}, {"of": 1}, {"of": "x"}, {"at": 1}, {"at": "x"})))
KNOWN = {*_WORDS, *_LIMITS, "literal_error", "too_short", "too_long"}
#: Words that the library would say and we never do, in either language; choices and samples are members of files.
THEIRS = re.compile(r"\b(input|should|valid|unable|parse|tuple|dictionary|instance|integer|boolean|datetimes?|"
                    r"extra|permitted|pattern|field|value error|unicode|string)\b", re.IGNORECASE)
ENGLISH = re.compile(r"\b(must|be|is|or|not|the|with|each|here|needs|than|more|less|known|such)\b")


@pytest.fixture(params=["en", "de"])
def language(request: pytest.FixtureRequest) -> Iterator[str]:
    go_by(PLAIN.changed(language=request.param))
    yield request.param
    go_by(PLAIN)


def error_of(read: Callable[[], object]) -> ValidationError | None:
    try:
        read()
    except ValidationError as error:
        return error
    except Refused:
        pass  # an amount tells in its own words what is wrong
    return None


def errors() -> Iterator[ValidationError]:
    """Every error that our forms raise for bad members, each alone."""
    reads: list[Callable[[], object]] = []
    for form in FORMS:
        reads += [lambda form=form, bad=bad: form.model_validate(bad) for bad in BAD]
        for name in form.model_fields:
            for bad in BAD:
                within = [{inner: bad} for inner in ("lot", "cloth", "amount")]
                reads += [lambda form=form, name=name, told=told: _alone(form, name, told)
                          for told in (bad, within, {"source": bad}, {"source": "device", "accuracy": bad})]
    reads += [lambda rows=rows: _ROWS.validate_json(rows) for rows in ROWS]
    for read in reads:
        if (error := error_of(read)) is not None:
            yield error


def _alone(form: type[BaseModel], name: str, told: object) -> None:
    """Raises what stands against one member, without what is missing beside it."""
    try:
        form.model_validate({name: told})
    except ValidationError as error:
        kept = [{"type": one["type"], "loc": one["loc"], "input": one["input"], "ctx": one.get("ctx", {})}
                for one in error.errors(include_url=False) if one["loc"] and one["loc"][0] == name]
        if kept and kept[0]["type"] != "missing":
            raise ValidationError.from_exception_data(form.__name__, kept) from None  # type: ignore[arg-type]
        raise




def test_every_error_that_our_forms_raise_has_words_of_ours(language: str) -> None:
    """Bad members of every form: the type of each error is known, and the library's words are in none."""
    types, wrong = set(), set()
    for error in errors():
        first = error.errors(include_url=False)[0]
        types.add(first["type"])
        what = misfit(error).what
        plain = re.sub(r"'[^']*'|\{[^}]*\}", " ", what)
        if first["msg"].lower() in what.lower() or THEIRS.search(plain) \
                or (language == "de" and ENGLISH.search(plain.replace("not-asked", " "))):
            wrong.add((first["type"], what))
        if first["type"] not in KNOWN:
            wrong.add((first["type"], "has no words"))
    assert wrong == set()
    # So that the test can't pass by meeting nothing.
    assert {"missing", "model_type", "string_type", "literal_error", "date_from_datetime_parsing", "int_parsing",
            "int_type", "bool_parsing", "tuple_type", "dataclass_type", "value_error", "too_short", "extra_forbidden",
            "string_pattern_mismatch", "greater_than_equal", "less_than_equal", "json_invalid"} <= types


def test_words_are_kept_for_no_type_that_the_library_does_not_have() -> None:
    """A type that is misspelt here, or that a newer library has no more, would never be met."""
    assert set(get_args(ErrorType)) >= KNOWN


def test_a_type_without_words_is_told_plainly(language: str) -> None:
    """An error that no form of ours raises gets the general words, not the library's."""
    class Odd(BaseModel):
        share: float = Field(multiple_of=0.5)
        word: str = Field(max_length=3)

    for members in ({"share": 0.3, "word": "oak"}, {"share": 0.5, "word": "walnut"}):
        error = error_of(lambda members=members: Odd.model_validate(members))
        assert error is not None
        assert misfit(error).what == tr(_OTHER)


@pytest.mark.parametrize(("rule", "given", "english", "german"), [
    ({"gt": 0}, 0, "must be more than 0", "muss mehr als 0 sein"),
    ({"ge": 1}, 0, "must be 1 or more", "muss mindestens 1 sein"),
    ({"lt": 5}, 5, "must be less than 5", "muss weniger als 5 sein"),
    ({"le": 5}, 6, "must be 5 or less", "darf höchstens 5 sein"),
])
def test_a_limit_is_named(rule: dict[str, int], given: int, english: str, german: str, language: str) -> None:
    """A number out of its limits is told with the limit."""
    class Row(BaseModel):
        amount: int = Field(**rule)  # type: ignore[arg-type]

    error = error_of(lambda: Row.model_validate({"amount": given}))
    assert error is not None
    assert misfit(error) == Misfit("amount", german if language == "de" else english)


@pytest.mark.parametrize(("change", "place", "english", "german"), [
    ({"state": "maybe"}, "state", "'maybe' is not known here; it must be given, refused or not-asked",
     "'maybe' ist hier nicht bekannt; es muss given, refused oder not-asked sein"),
    ({"state": 7}, "state", "must be given, refused or not-asked", "muss given, refused oder not-asked sein"),
    ({"until": "soon"}, "until", "must be a day such as 2026-11-30", "muss ein Tag sein, etwa 2026-11-30"),
    ({"by": 7}, "by", "must be a text", "muss ein Text sein"),
    ({"state": None}, "state", "is missing", "fehlt"),
])
def test_a_record_that_is_set_aside_says_why_in_the_language(
        change: dict[str, Any], place: str, english: str, german: str, language: str) -> None:
    """What a person reads of a record from elsewhere is whole in their language."""
    site = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77aa0001"
    facts = {name: told for name, told in {"site": site, "state": "given", **change}.items() if told is not None}
    device = "a" * 16
    problem = examine(Version(thing=site, kind="leave", facts=facts, hlc=f"{1_791_900_000_000:013d}-0000-{device}",
                              device=device, seq=1), where="record 3")
    assert problem is not None
    assert (problem.where, problem.what) == (f"record 3, {place}", german if language == "de" else english)
