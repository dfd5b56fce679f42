"""A lot's id as a QR code (ISO/IEC 18004), level Q, so that a quarter of it may be blotted."""

from __future__ import annotations

from field_app.paper.page import Page

__all__ = ["QUIET", "code_matrix", "draw_code"]

#: The quiet zone on each side, in modules (ISO/IEC 18004, 6.3.8).
QUIET = 4


def code_matrix(text: str) -> tuple[tuple[bool, ...], ...]:
    """The modules of the code, row by row, True for dark.

    >>> len(code_matrix("urn:uuid:017f22e2-79b0-7cc3-98c4-dc0c0c07398f"))  # version 4
    33
    """
    import segno

    code = segno.make_qr(text, error="q", boost_error=False)
    return tuple(tuple(bool(module) for module in row) for row in code.matrix)


def draw_code(page: Page, text: str, x: float, y: float, side: float) -> None:
    """The code with its quiet zone in a square of a side [mm], its upper left corner at x and y [mm]."""
    rows = code_matrix(text)
    module = side / (len(rows) + 2 * QUIET)
    for down, row in enumerate(rows):
        along = 0
        while along < len(row):
            if not row[along]:
                along += 1
                continue
            start = along
            while along < len(row) and row[along]:
                along += 1
            # Runs in one piece: seams between modules would show as light lines in print.
            page.fill(x + (QUIET + start) * module, y + (QUIET + down) * module, (along - start) * module, module)
