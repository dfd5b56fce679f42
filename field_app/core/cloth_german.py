"""How people write cloth in German, beside the English words of :mod:`field_app.core.fibres`.

A list of cloth is kept as it was typed and goes to other devices, so every device reads the words of every language
in which the program speaks, whatever it speaks itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["CONDITIONS_DE", "EACH_DE", "FIBRES_DE", "IDLE_DE", "PIECES_DE", "WEAVES_DE"]

#: Each key of the tables of fibres, pieces and weaves, with how it is written.
FIBRES_DE: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "wool": ("wolle", "schurwolle", "merinowolle", "kammgarn"), "silk": ("seide",), "cotton": ("baumwolle",),
    "linen": ("leinen", "flachs"), "hemp": ("hanf",), "jute": ("jute",)})
PIECES_DE: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "T-shirt": ("t-shirt", "t-shirts"), "shirt": ("hemd", "hemden"),
    "skein": ("strang", "stränge", "strängen", "docke", "docken"),
    "jumper": ("pullover", "pullovern", "pulli", "pullis"), "blanket": ("decke", "decken")})
WEAVES_DE: Mapping[str, tuple[str, ...]] = MappingProxyType({
    "voile": ("voile", "schleierstoff"), "shirting": ("hemdenstoff",), "sheeting": ("bettwäschestoff", "lakenstoff"),
    "jersey": ("jersey",), "denim": ("denim", "jeansstoff"), "canvas": ("canvas", "segeltuch"),
    "terry": ("frottee", "frottier"), "fulled": ("gewalkt", "gewalkte", "walk", "loden"), "flannel": ("flanell",),
    "habotai": ("habotai", "pongé")})
CONDITIONS_DE: Mapping[str, str] = MappingProxyType({
    "trocken": "air-dry", "lufttrocken": "air-dry", "ofentrocken": "bone-dry", "darrtrocken": "bone-dry",
    "feucht": "damp", "nass": "damp", "roh": "raw", "ungewaschen": "raw", "vlies": "raw"})
EACH_DE = frozenset(("je", "jeweils"))
#: Words that tell nothing.
IDLE_DE = frozenset(("aus", "von", "und", "mal", "mit", "zu", "der", "die", "das", "ein", "eine", "einem", "einer",
                     "breit", "lang", "stoff", "tuch", "garn", "gewebe", "wasser", "gewogen", "gewaschen", "insgesamt"))
