"""The widths of Helvetica against those that another maker of PDF carries.

fpdf2 has the metrics of the Adobe Core 14 AFM files (font metrics published by Adobe with the PDF reference).
"""

import pytest
from fpdf.fonts import CORE_FONTS_CHARWIDTHS

from field_app.paper.metrics import width_of


@pytest.mark.parametrize(("bold", "name"), [(False, "helvetica"), (True, "helveticaB")])
def test_every_letter_is_as_wide_as_in_the_published_metrics(bold, name):
    """All 224 signs from the space on."""
    for code in range(32, 256):
        assert width_of(bytes([code]), bold=bold) * 1000 == pytest.approx(CORE_FONTS_CHARWIDTHS[name][chr(code)]), code
