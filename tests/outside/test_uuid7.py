"""Names of records against the published layout of version 7 UUIDs."""

import uuid

from field_app.ids import uuid7

# RFC 9562 (May 2024), appendix A.6 "Example of a UUIDv7 Value", https://www.rfc-editor.org/rfc/rfc9562#appendix-A.6
UNIX_MS = 1645557742000  # Tuesday, February 22, 2022 2:22:22.00 PM GMT-05:00
RAND_A = 0xCC3
RAND_B = 0b01 << 60 | 0x8C4DC0C0C07398F
VALUE = "017F22E2-79B0-7CC3-98C4-DC0C0C07398F"


def test_the_example_of_the_standard_comes_out() -> None:
    """Time, rand_a and rand_b of the RFC's example give its UUID."""
    assert uuid7(UNIX_MS, RAND_A << 62 | RAND_B) == uuid.UUID(VALUE)


def test_the_standard_library_reads_version_and_variant() -> None:
    """Python's own reader of UUIDs sees version 7 and the variant of RFC 9562 (earlier: RFC 4122)."""
    for free in (0, (1 << 74) - 1):
        made = uuid7((1 << 48) - 1, free)
        assert (made.version, made.variant) == (7, uuid.RFC_4122)
        assert made.int >> 80 == (1 << 48) - 1
