"""The icons that the phone's screens show, out of the thousands that the client brings.

Three things say which: our own files name theirs, the client's code says which sign of the font a name stands for,
and the same code says which ones it draws by itself, such as the arrow of a choice.
"""

from __future__ import annotations

import ast
import collections
import io
import json
import re
from collections.abc import Iterable, Mapping

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

from field_app.phone.client import ClientChanged

__all__ = ["FONT", "NAMES", "OTHER_NAMES", "icons_named", "lean_font", "lean_names", "signs_of"]

#: The font of icons among the client's files; the tables of their names among the packages' files.
FONT = "assets/fonts/MaterialIcons-Regular.otf"
NAMES = "flet/controls/material/icons.json"
#: Names of a second set of icons, whose font is not along.
OTHER_NAMES = "flet/controls/cupertino/cupertino_icons.json"

_CODE = "main.dart.js"
#: Whole numbers in the client's code may be written as 58e3.
_SIGN = re.compile(r"\bB\.([\w$]+)=new A\.[\w$]+\(([\de]+),\"MaterialIcons\",null,![01]\)")
_USE = re.compile(r"\bB\.([\w$]+)")
_LIST = re.compile(r"\[((?:B\.[\w$]+,){8000,}B\.[\w$]+)\]")
#: The lower half of an icon's number in the toolkit is its place in the client's list.
_PLACE = 0xFFFF


def icons_named(files: Mapping[str, bytes]) -> frozenset[str]:
    """Every icon that the Python files among these name.

    >>> sorted(icons_named({"a.py": b"ft.Icons.ADD; Icons.CLOSE; ft.Icons"}))
    ['ADD', 'CLOSE']
    """
    trees = (ast.parse(data) for name, data in files.items() if name.endswith(".py"))
    return frozenset(
        node.attr for tree in trees for node in ast.walk(tree) if isinstance(node, ast.Attribute)
        and ast.unparse(node.value) in ("ft.Icons", "Icons", "flet.Icons"))


def signs_of(code: str, names: Mapping[str, int]) -> tuple[dict[str, int], frozenset[int]]:
    """The code point [1] of each icon by its name, and those that the client draws by itself.

    code: the client's; names: each icon's number by its name.
    Raises ClientChanged if the code says it in another way.
    """
    signs = {found[1]: round(float(found[2])) for found in _SIGN.finditer(code)}
    lists = [found[1].replace("B.", "").split(",") for found in _LIST.finditer(code)]
    listed = [places for places in lists if len(places) == len(names) and places[0] in signs]
    if len(listed) != 1:
        raise ClientChanged(_CODE, f"of the client holds {len(listed)} lists of {len(names)} icons, not one")
    places = listed[0]
    uses, in_list = collections.Counter(_USE.findall(code)), collections.Counter(places)
    # Once where it is made, and once for each place in the list; whatever is used beyond that, the client draws.
    by_itself = frozenset(sign for name, sign in signs.items() if uses[name] > 1 + in_list[name])
    named = {name: signs[places[number & _PLACE]] for name, number in names.items()
             if places[number & _PLACE] in signs}
    return named, by_itself


def lean_font(data: bytes, signs: Iterable[int]) -> bytes:
    """The font with these signs alone. The same font and signs give the same bytes."""
    # The moment of making is left as it is, so that two builds don't differ.
    font = TTFont(io.BytesIO(data), recalcTimestamp=False)
    options = Options()
    options.layout_features = []
    options.name_IDs = ["*"]  # the licence among them
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=sorted({*signs, ord(" ")}))
    subsetter.subset(font)
    lean = io.BytesIO()
    font.save(lean)
    return lean.getvalue()


def lean_names(data: bytes, used: Iterable[str]) -> bytes:
    """The table of names with these alone, each with its number as before."""
    names = json.loads(data)
    return json.dumps({name: names[name] for name in sorted(used)}, separators=(",", ":")).encode()
