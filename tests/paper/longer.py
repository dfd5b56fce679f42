"""A language whose every text is a third longer than the English one, as German is, to see what overflows."""

import gettext
import re
from contextlib import contextmanager

from field_app.words import speech

_WORD = re.compile(r"\{[^{}]*\}|[A-Za-z]{3,}")


def longer(text):
    """The text with its words grown by a third; what stands in braces is left as it is.

    >>> longer("Left after the pail: {mass}")
    'Leftle afteraf thet pailpa: {mass}'
    """
    def grown(match):
        word = match[0]
        return word if word.startswith("{") else word + word[:max(1, round(len(word) / 3 + 0.2))].lower()
    return _WORD.sub(grown, text)


class Longer(gettext.NullTranslations):
    """Every text, a third longer."""

    def gettext(self, message):
        return longer(message)

    def ngettext(self, msgid1, msgid2, n):
        return longer(msgid1 if n == 1 else msgid2)

    def pgettext(self, context, message):  # noqa: ARG002  # as the library calls it
        return longer(message)


@contextmanager
def spoken_longer():
    """Every text is a third longer for as long as this lasts."""
    held, speech._catalogue = speech._catalogue, lambda _: Longer()
    try:
        yield
    finally:
        speech._catalogue = held
