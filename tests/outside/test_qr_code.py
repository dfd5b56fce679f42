"""QR codes against ISO/IEC 18004 and an independent reader.

ISO/IEC 18004:2015, table 1 and 7: a version has 17 + 4 x version modules a side, and version 4 at level Q holds 46
bytes in byte mode (from memory: ISO/IEC 18004). A urn:uuid: has 45.
"""

import zxingcpp
from PIL import Image

from field_app.paper.qr import QUIET, code_matrix

URN = "urn:uuid:017f22e2-79b0-7cc3-98c4-dc0c0c07398f"  # the UUID of RFC 9562, appendix A.6


def test_a_lots_id_is_a_code_of_version_4():
    """33 modules a side, and 46 bytes still fit where 47 need the next version."""
    assert len(code_matrix(URN)) == 17 + 4 * 4
    assert len(code_matrix("x" * 46)) == 33
    assert len(code_matrix("x" * 47)) == 37


def test_an_independent_reader_reads_it_at_level_q():
    """Drawn module by module with the quiet zone of four, it is read back with its level."""
    rows = code_matrix(URN)
    picture = Image.new("L", ((len(rows) + 2 * QUIET) * 4,) * 2, 255)
    for down, row in enumerate(rows):
        for along, dark in enumerate(row):
            if dark:
                picture.paste(0, tuple((QUIET + at) * 4 + end for end in (0, 4) for at in (along, down)))
    code, = zxingcpp.read_barcodes(picture)
    assert code.text == URN
    assert code.format == zxingcpp.BarcodeFormat.QRCode
    assert code.ec_level == "Q"
