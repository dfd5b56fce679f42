"""The sheet of a dye day: all of the plan on it, on one page where it fits, nothing over the edge."""

import io

import pypdfium2
import pytest

from field_app.core.units import show_range, show_si
from field_app.paper import PAPERS, day_sheet
from tests.handover.test_days import MADE, day
from tests.paper.test_labels import texts


def words(data):
    """All text of all pages."""
    pages = pypdfium2.PdfDocument(io.BytesIO(data))
    return " ".join(" ".join(page.get_textpage().get_text_range().split()) for page in pages)


@pytest.mark.parametrize("paper", list(PAPERS))
def test_a_day_fits_on_one_page_with_all_that_is_needed(paper):
    """Lots, liquor, baths with their shades, helpers, the clock, cautions, and room to write."""
    made = day()
    data = day_sheet(made.plan, made.work, made=MADE, paper=paper)
    assert len(pypdfium2.PdfDocument(io.BytesIO(data))) == 1
    told = words(data)
    for liquor in made.work.liquors:
        assert f"Liquor of black walnut: {show_range(liquor.volume)}" in told
        for one in liquor.takings:
            assert one.lot.code in told
        for bath in liquor.baths:
            assert bath.verdict in told
            assert f"Bath {bath.place}" in told
    for name, grams in made.work.helpers().items():
        assert f"{show_range(grams)} {name}" in told
    for row in made.work.clock:
        assert row.words in told
    fillings = [one for liquor in made.work.liquors if liquor.made for one in liquor.made.kettles.fillings]
    assert fillings
    for one in fillings:
        assert one.pot.name in told
        assert f"{show_si(one.stuff, 'kg')} of stuff and {show_si(one.water, 'L')} of water" in told
    assert "What came out" in told
    assert made.work.cautions[0].short in told


def test_long_names_and_many_baths_go_on_to_further_pages_and_stay_inside():
    """Twelve loads with names as long as may be: several pages, each line inside its margins."""
    cloth = "silk 300 g; 2 shirts linen; wool 1 kg; cotton 3 m2 120 g/m2; linen 2 kg; 3 jumpers wool"
    made = day(name="The very long day of the harvest of the year at the mill by the stream " * 2,
               baths=[{"cloth": [cloth], "mordant": "alum-iron"}] * 12, note="Bring the grey bucket. " * 60)
    data = day_sheet(made.plan, made.work, made=MADE)
    pages = pypdfium2.PdfDocument(io.BytesIO(data))
    assert len(pages) > 2
    told = words(data)
    assert " ".join(made.plan.facts.name.split()) in told
    assert f"12. {cloth}" in told
    # The first loads take all of it; a drop is no liquor to speak of.
    assert "No liquor is left for it." in told
    assert " 0.0000" not in told
    width, height = PAPERS["A4"]
    for number in range(len(pages)):
        for text, (left, top, right, bottom) in texts(data, number):
            assert 13 <= left <= right <= width - 13, text
            assert 10 <= top <= bottom <= height - 8, text


def test_a_day_without_anything_has_a_sheet_to_write_on():
    """No lots, no cloth: what has to be settled, and room to write."""
    made = day(lots=[], baths=[])
    told = words(day_sheet(made.plan, made.work, made=MADE))
    assert "none is chosen" in told
    assert "What came out" in told
