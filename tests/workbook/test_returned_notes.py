"""Comments and boxes of text in a returned quote are shown to the shop."""

from __future__ import annotations

from pathlib import Path

from openpyxl.comments import Comment
from openpyxl.workbook import Workbook

from quotekit.workbook.read_returned import read_returned
from tests.workbook.returned import IN_TIME, changed, saved_by_libreoffice, sent, type_in, with_part

SHAPE = (
    "<xdr:twoCellAnchor><xdr:from><xdr:col>1</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>3</xdr:row><xdr:rowOff>0"
    "</xdr:rowOff></xdr:from><xdr:to><xdr:col>4</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>9</xdr:row><xdr:rowOff>0"
    '</xdr:rowOff></xdr:to><xdr:sp macro="" textlink=""><xdr:nvSpPr><xdr:cNvPr id="99" name="Box"/><xdr:cNvSpPr/>'
    "</xdr:nvSpPr><xdr:spPr/><xdr:txBody><a:bodyPr/><a:p><a:r><a:t>Half</a:t></a:r></a:p><a:p><a:r><a:t>price"
    "</a:t></a:r></a:p></xdr:txBody></xdr:sp><xdr:clientData/></xdr:twoCellAnchor></xdr:wsDr>"
)


def notes(path: Path) -> list[tuple[str, str, str]]:
    choice, problems = read_returned(path, IN_TIME)
    assert choice is not None and choice.unchanged
    return [(problem.code, problem.place.cell, problem.text) for problem in problems if problem.severity == "warning"]


def commented(folder: Path) -> Path:
    def comment(book: Workbook) -> None:
        type_in(book, {"chosen_tier": "good"})
        book["Quote"]["B4"].comment = Comment("Could you  also\nlook at the chute?", "Ann")

    return changed(folder, comment)


def test_a_quote_as_sent_has_no_notes(tmp_path: Path) -> None:
    assert notes(sent(tmp_path)) == []


def test_a_comment_is_shown(tmp_path: Path) -> None:
    assert notes(commented(tmp_path)) == [("note-added", "B4", "Could you also look at the chute?")]


def test_a_comment_that_libreoffice_saved_is_shown(soffice: str, tmp_path: Path) -> None:
    [saved] = saved_by_libreoffice(soffice, [commented(tmp_path)], tmp_path)
    [(code, cell, text)] = notes(saved)
    assert (code, cell) == ("note-added", "B4") and "look at the chute?" in text


def test_a_box_of_text_over_the_sheet_is_shown(tmp_path: Path) -> None:
    drawing = "xl/drawings/drawing1.xml"
    path = with_part(sent(tmp_path), drawing, lambda xml: xml.replace("</xdr:wsDr>", SHAPE))
    assert notes(path) == [("note-added", "B4", "Half price")]
