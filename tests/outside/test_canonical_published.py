"""The canonical form of JSON and the names made from hashes, against what their standards and authors publish.

RFC 8785: JSON Canonicalization Scheme (JCS), June 2020.
Its author's test data: https://github.com/cyberphone/json-canonicalization, testdata. The inputs below are from memory:
that the published SHA-256 of the expected output comes out shows that they are remembered rightly.
RFC 6920: Naming Things with Hashes, April 2013.
"""

import base64
import hashlib
import json
import struct

import pytest
import rfc8785

from field_app.core.problems import Refused
from field_app.core.records import name_of, read_version

ARRAYS = """[
  56,
  {
    "d": true,
    "10": null,
    "1": [ ]
  }
]"""
FRENCH = """{
  "peach": "This sorting order",
  "péché": "is wrong according to French",
  "pêche": "but canonicalization MUST",
  "sin":   "ignore locale"
}"""
STRUCTURES = r"""{
  "1": {"f": {"f": "hi","F": 5} ,"\n": 56.0},
  "10": { },
  "": "empty",
  "a": { },
  "111": [ {"e": "yes","E": "no" } ],
  "A": { }
}"""


@pytest.mark.parametrize(("text", "digest"), [
    (ARRAYS, "099601b171cafed97c333f8878d68e7f8c8f795412adb34b2fdcf0e7c7beac42"),
    (FRENCH, "d99d0ebdcb0033cb858cfa830ae46bc0fb3309413b271f1da828c89901a27ed5"),
    (STRUCTURES, "605f65004ec2db7692522a0852c22f1c989e036d547e88963d1a3143cf3195d5"),
])
def test_the_authors_test_data_come_out_byte_for_byte(text, digest):
    """The output has the SHA-256 of the file in testdata/output, whatever order and spaces the input had."""
    assert hashlib.sha256(rfc8785.dumps(json.loads(text))).hexdigest() == digest


def test_the_sample_of_section_3_2_2():
    """RFC 8785, 3.2.2 and 3.2.3, from memory: numbers, escapes and literals in their one form."""
    sample = (r'{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],'
              r'"string": "\u20ac$\u000F\u000aA\u0027\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}')
    due = (r'{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
           r'"string":"€$\u000f\nA' "'" r'B\"\\\\\"/"}')
    assert rfc8785.dumps(json.loads(sample)) == due.encode()


def test_names_are_sorted_by_the_units_of_utf_16():
    """RFC 8785, 3.2.3, from memory: the order of these seven names, where a sort by code points puts the emoji last."""
    names = {"\u20ac": "Euro Sign", "\r": "Carriage Return", "\ufb33": "Hebrew Letter Dalet With Dagesh", "1": "One",
             "\U0001f600": "Emoji: Grinning Face", "\u0080": "Control", "\u00f6": "Latin Small Letter O With Diaeresis"}
    due = ["Carriage Return", "One", "Control", "Latin Small Letter O With Diaeresis", "Euro Sign",
           "Emoji: Grinning Face", "Hebrew Letter Dalet With Dagesh"]
    assert list(json.loads(rfc8785.dumps(names)).values()) == due
    assert [names[name] for name in sorted(names)] != due


@pytest.mark.parametrize(("bits", "text"), [
    ("0000000000000000", "0"), ("8000000000000000", "0"), ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"), ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"), ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"), ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"), ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"), ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"), ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"), ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"), ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"), ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"), ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
])
def test_numbers_have_the_form_of_appendix_b(bits, text):
    """RFC 8785, appendix B, from memory: a double of these bits is written so."""
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    assert rfc8785.dumps(number) == text.encode()


@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000", "fff0000000000000"])
def test_what_is_no_number_has_no_form(bits):
    """RFC 8785, appendix B: NaN and the infinities are errors."""
    (number,) = struct.unpack(">d", bytes.fromhex(bits))
    with pytest.raises(rfc8785.CanonicalizationError):
        rfc8785.dumps(number)


@pytest.mark.parametrize("text", [ARRAYS, FRENCH, STRUCTURES])
def test_no_other_form_of_the_same_data_is_a_version(text):
    """What is not in its canonical form is refused for that, before anybody asks what it says."""
    with pytest.raises(Refused, match="canonical form of RFC 8785"):
        read_version(text.encode())


def test_a_name_is_the_one_of_rfc_6920():
    """RFC 6920, 8.1: the name of "Hello World!" by SHA-256; the digest beside it is that text's, in hexadecimal."""
    assert name_of(b"Hello World!") == "ni:///sha-256;f4OxZX_x_FO5LcGBSKHWXfwtSx-j1ncoSt3SABJtkGk"
    digest = bytes.fromhex("7f83b1657ff1fc53b92dc18148a1d65dfc2d4b1fa3d677284addd200126d9069")
    assert base64.urlsafe_b64decode(name_of(b"Hello World!").partition(";")[2] + "=") == digest
