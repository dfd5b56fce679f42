"""The words of the screens, the papers and the messages, in the language a person chose.

The English text is written where it is used and is the key of the catalogue; every other language has one file
beside this one, ``<language>.po``, and its compiled form.  What is stored, hashed or handed to other programs is
never translated.
"""

from field_app.words.joining import alone, begun, either, listed, mid, told
from field_app.words.keyed import basis_words, shade_words, state_words
from field_app.words.places import named
from field_app.words.speech import (
    LANGUAGES,
    decimal_sign,
    english,
    for_programs,
    form_of,
    language,
    later,
    later_n,
    speak,
    tr,
    tr_as,
    tr_n,
)

__all__ = ["LANGUAGES", "alone", "basis_words", "begun", "decimal_sign", "either", "english", "for_programs", "form_of",
           "language", "later", "later_n", "listed", "mid", "named", "shade_words", "speak", "state_words", "told",
           "tr", "tr_as", "tr_n"]
