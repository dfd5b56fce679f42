"""The commands that print."""

import json

import pypdfium2
import pytest
import zxingcpp

from tests.cli.test_cli_plan import code, run  # noqa: F401 - the fixtures are used by their names


def test_labels_are_printed_and_read_back(run, code, tmp_path):  # noqa: F811
    """The code on the paper is the id of the lot."""
    file = tmp_path / "labels.pdf"
    told = json.loads(run("labels", code, str(file), "--json").stdout)
    assert told["labels"] == 1
    lot = json.loads(run("lots", "--json").stdout)[0]
    picture = pypdfium2.PdfDocument(str(file))[0].render(scale=150 / 72).to_pil()
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == [lot["id"]]
    run("labels", code, code, str(tmp_path / "single.pdf"), "--paper", "single")
    assert len(pypdfium2.PdfDocument(str(tmp_path / "single.pdf"))) == 2


@pytest.mark.parametrize(("words", "told"), [
    (["labels", "ZZZZ", "x.pdf"], "no lot has the code"),
    (["labels", "{code}", "x.txt"], "ends in .pdf"),
    (["labels", "{code}", "x.pdf", "--columns", "9"], "1 to 6"),
    (["sheet", "Nothing", "x.pdf"], "no dye day is named"),
])
def test_what_can_t_be_printed_is_refused(run, code, tmp_path, words, told):  # noqa: F811
    """Nothing is written, and the message says what to do."""
    words = [str(tmp_path / word) if word.startswith("x.") else word.format(code=code) for word in words]
    refused = run(*words, code=2)
    assert told in refused.stderr or told.replace("ends", "end") in refused.stderr
    assert not list(tmp_path.glob("x.*"))


def test_the_sheet_of_a_dye_day_is_printed(run, code, tmp_path):  # noqa: F811
    """It names the day, its lots and its baths."""
    run("plan", "new", "Harvest dyeing", "--lot", code, "--bath", "wool 1 kg, medium, alum")
    file = tmp_path / "sheet.pdf"
    run("sheet", "Harvest dyeing", str(file), "--paper", "Letter")
    page = pypdfium2.PdfDocument(str(file))[0]
    assert page.get_size() == pytest.approx((612, 792), abs=0.5)
    text = page.get_textpage().get_text_range()
    assert "Harvest dyeing" in text
    assert "wool 1 kg" in text
    assert code in text
