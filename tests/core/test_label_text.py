"""What stands on a label, as people type it and cameras read it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from field_app.core.label_text import label_key
from field_app.core.records import code_of

ID = "urn:uuid:0199c3a4-7b1e-7d2f-9a41-5e0c77bb0009"


@pytest.mark.parametrize("typed", [
    ID, ID.upper(), ID.removeprefix("urn:"), ID.removeprefix("urn:uuid:"), ID.replace("-", ""), f"  {ID}\r\n",
    ID.replace("0", "O"), ID.replace("1", "l"), "urn:uuid:0199c3a4-7b1e-\n  7d2f-9a41-5e0c77bb0009"])
def test_an_id_is_read_however_it_was_copied(typed):
    """Capitals, broken lines, missing parts and letters that look like digits give the same id."""
    assert label_key(typed) == ID


@pytest.mark.parametrize(("typed", "code"), [
    ("jb07", "JB07"), (" J B 0 7 ", "JB07"), ("JB-O7", "JB07"), ("il9o", "1190"), ("uU", "VV"), ("904D\n", "904D")])
def test_a_code_is_read_with_its_look_alikes(typed, code):
    """Letters that no code has are read as those that they look like."""
    assert label_key(typed) == code


@pytest.mark.parametrize("typed", ["", "  ", "https://example.org/JB07", "urn:uuid:", "urn:isbn:9780000000000", "J.07",
                                   "日本", f"{ID}0", f"{ID[:-1]}g"])
def test_what_is_neither_is_nothing(typed):
    """Addresses, other names, and an id with a sign too many or too few are no key."""
    assert label_key(typed) == ""


@given(st.uuids(), st.booleans())
def test_every_id_and_code_comes_back(number, capitals):
    """Whatever a label says, it is read back as it is."""
    code = code_of(number.urn, 8)
    assert label_key(number.urn.upper() if capitals else number.urn) == number.urn
    assert label_key(code if capitals else code.lower()) == code
