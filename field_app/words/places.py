"""Where something is wrong, in the words a person reads.

``Problem.where`` is a key: screens put a problem beside its field by it, so it is the same in every language.
Here it becomes words: a field by the catalogue, a place in a file or a thing with its number by its pattern.
What follows a place in a file is the name of a column or a member of that file, and stays as it stands there.
"""

from __future__ import annotations

import re

from field_app.words.speech import later, tr

__all__ = ["named"]

#: Fields and subjects, as problems name them.
_FIELDS = frozenset((
    later("after"), later("amount"), later("as of"), later("at"), later("base"), later("bath"), later("baths"),
    later("before"), later("boil"), later("brix"), later("by"), later("calendar"), later("clock"), later("cloth"),
    later("cloth list"), later("concentrate"), later("condition"), later("count"), later("data folder"),
    later("dates"), later("day"), later("decimal"), later("dents"), later("depth"), later("detour"), later("device"),
    later("diameter"), later("dips"), later("dish"), later("division"), later("end"), later("figure"), later("file"),
    later("fill"), later("fire"), later("for"), later("full copy"), later("further water"), later("gathered"),
    later("gross"),
    later("ground"), later("group file"), later("hand"), later("headings"), later("heat"), later("helper"),
    later("high"), later("hour"), later("hours"), later("item"), later("items"), later("kind"), later("kind of cloth"),
    later("kind of piece"), later("labels"), later("language"), later("latitude"), later("leave"), later("leave from"),
    later("leave limit"), later("leave note"), later("leave until"), later("limit"), later("liquor"),
    later("longitude"), later("lot"), later("lots"), later("low"), later("made of"), later("margins"), later("mass"),
    later("material"), later("means"), later("measures"), later("moment"), later("mordant"), later("name"),
    later("need"), later("note"), later("nuts"), later("old cloth"), later("old recipe"), later("pail"),
    later("pails"), later("paper"), later("parameter"), later("part"), later("photograph"),
    later("photographs on this phone"), later("picture"), later("place"),
    later("places"), later("places used up"), later("plan"), later("port"), later("position"), later("pot"),
    later("pots"), later("purpose"), later("ratio"), later("record"), later("records"), later("records on this phone"),
    later("result"), later("ripeness"), later("sample"), later("sample each"), later("scale class"),
    later("scale division"), later("shade"), later("site"), later("skip"), later("soak"), later("speed"),
    later("stage"), later("start"), later("state"), later("step"), later("stop"), later("storage"),
    later("strainings"), later("stuff"), later("surface"), later("take"), later("tare"), later("temperature"),
    later("test"), later("the phone's packages"), later("thing"), later("this device"), later("this tab"),
    later("time"), later("tree"), later("undo"), later("unit"), later("until"), later("value"), later("version"),
    later("volume"), later("water"), later("width"), later("wof"), later("wood"), later("year")))
#: Things with a number, a name or a code.
_THINGS = tuple((re.compile(pattern + r"\Z", re.DOTALL), words) for pattern, words in (
    (r"lot (?P<code>[0-9A-Za-z]+)", later("lot {code}")),
    (r"bath (?P<number>[0-9]+)", later("bath {number}")),
    (r"cloth (?P<number>[0-9]+)", later("cloth {number}")),
    (r"take (?P<number>[0-9]+)", later("take {number}")),
    (r"photograph (?P<code>[0-9a-f]+)", later("photograph {code}")),
    (r"device (?P<device>\S+)", later("device {device}")),
    (r"data folder (?P<folder>.+)", later("data folder {folder}")),
))
#: Places in a file; what comes after them is not ours to translate.
_IN_FILES = tuple((re.compile(pattern + r"(?P<more>(?:[, .].*)?)\Z", re.DOTALL), words) for pattern, words in (
    (r"row (?P<number>[0-9]+)", later("row {number}")),
    (r"version (?P<number>[0-9]+)", later("version {number}")),
    (r"member (?P<name>.+?)", later("member {name}")),
    (r"(?P<file>\S.*?) row (?P<number>[0-9]+)", later("{file} row {number}")),
    (r"(?P<file>\S.*?) line (?P<number>[0-9]+)", later("{file} line {number}")),
    (r"(?P<file>\S.*?) after record (?P<number>[0-9]+)", later("{file} after record {number}")),
    (r"(?P<file>\S.*?) record (?P<number>[0-9]+)", later("{file} record {number}")),
    (r"(?P<file>\S.*?) feature (?P<number>[0-9]+)", later("{file} feature {number}")),
    (r"(?P<file>\S.*?) resource (?P<number>[0-9]+)", later("{file} resource {number}")),
))


def named(where: str) -> str:
    """The place of a problem as a person reads it; names of files, codes and options stay as they are.

    >>> named("scale division"), named("lots.csv row 3, gross"), named("--cloth")
    ('scale division', 'lots.csv row 3, gross', '--cloth')
    """
    for pattern, words in _IN_FILES:
        if found := pattern.match(where):
            told = found.groupdict()
            return tr(words, **{name: text for name, text in told.items() if name != "more"}) + told["more"]
    for pattern, words in _THINGS:
        if found := pattern.match(where):
            return tr(words, **found.groupdict())
    head, comma, rest = where.partition(", ")
    return f"{named(head)}{comma}{named(rest)}" if comma else tr(where) if where in _FIELDS else where
