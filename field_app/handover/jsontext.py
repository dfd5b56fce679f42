"""JSON from a stranger, read strictly: one meaning or none (RFC 8259, RFC 7493 I-JSON)."""

from __future__ import annotations

import json
import math
from collections import Counter
from typing import Any

from field_app.core.problems import refuse
from field_app.words import later, tr

__all__ = ["read_json"]

#: Our own files are at most 6 deep; a nest of thousands only serves to break readers.
DEPTH = 32


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members = dict(pairs)
    if len(members) != len(pairs):
        twice, _ = Counter(name for name, _ in pairs).most_common(1)[0]
        raise ValueError(tr("member {name} is there twice", name=json.dumps(twice)[:60]))
    return members


def _no_constant(name: str) -> float:
    raise ValueError(tr("{name} is not a JSON number", name=name))


def _number(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(tr("the number {text:.20} is too large", text=text))
    return value


def _whole(text: str) -> int | float:
    # A whole number of many digits is slow to read and can't be told from a float by any other reader.
    return int(text) if len(text) <= 16 else _number(text)


def _depth_and_text(value: Any, left: int) -> None:
    if left == 0:
        raise ValueError(tr("it is nested more than {depth} deep", depth=DEPTH))
    if isinstance(value, str):
        value.encode("utf-8")  # a lone surrogate is no text
    elif isinstance(value, dict):
        for name, member in value.items():
            name.encode("utf-8")
            _depth_and_text(member, left - 1)
    elif isinstance(value, list):
        for member in value:
            _depth_and_text(member, left - 1)


def read_json(data: bytes, *, where: str) -> Any:
    """The value of UTF-8 JSON bytes.

    Raises Refused, naming ``where``, for other encodings, a byte-order mark, NaN and infinities, a member
    that is there twice, lone surrogates, and deep nests.

    >>> read_json(b'{"a": [1, 2.5]}', where="x.json")
    {'a': [1, 2.5]}
    """
    fix = later("Ask whoever made the file for a new copy.")
    if data.startswith(b"\xef\xbb\xbf"):
        raise refuse(where, tr("starts with a byte-order mark"),
                     tr("Save it as UTF-8 without a byte-order mark."))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise refuse(f"{where} line {line}", tr("byte 0x{byte:02X} is not UTF-8", byte=data[error.start]),
                     tr("Save it as UTF-8.")) from None
    try:
        value = json.loads(text, object_pairs_hook=_once, parse_constant=_no_constant,
                           parse_float=_number, parse_int=_whole)
        _depth_and_text(value, DEPTH)
    except RecursionError:
        raise refuse(where, tr("is nested more than {depth} deep", depth=DEPTH), fix) from None
    except UnicodeEncodeError:
        raise refuse(where, tr("holds half of a character"), fix) from None
    except json.JSONDecodeError as error:
        raise refuse(f"{where} line {error.lineno}", tr("is not JSON ({error})", error=error.msg), fix) from None
    except ValueError as error:
        raise refuse(where, tr("is not JSON that all programs read alike ({error})", error=error), fix) from None
    return value
