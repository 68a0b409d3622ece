"""The setup sheet: what it must say, in letters that survive, the same bytes each time."""

import io
import re
from dataclasses import replace

import bracket
import pytest
from pypdf import PdfReader

from compiler.job import Job, Title
from compiler.sheet import compose, markdown, render
from compiler.sheet.content import Checks, Facts, Lines, Table


def sheet(job: Job | None = None, broken: str = "", units: str = "inch") -> bytes:
    return render(
        job or bracket.job(units=units),
        bracket.part(),
        bracket.plan(units=units),
        bracket.report(broken),
        version="0.1.0",
        motions=bracket.motions(),
    )


def text_of(pdf: bytes) -> str:
    pages = PdfReader(io.BytesIO(pdf)).pages
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in pages))


@pytest.fixture(scope="module")
def printed() -> str:
    return text_of(sheet())


def test_the_same_values_give_the_same_bytes():
    assert sheet() == sheet()


@pytest.mark.parametrize(
    "said",
    [
        "OB-0117",
        "8c1f00d5a2b34e77",
        "5be1ab1e5be1ab1e",
        "UNITS: INCH (G20)",
        "WORK OFFSET: G54",
        "EVIDENCE: ALL HELD",
        "7 × 5 × 1 in (177.8 × 127 × 25.4 mm)",
        "Edge finder on the left and front faces",
        "Vise, 0.4 in in the jaws",
        "em_500_3fl",
        "4200",
        "48.6",  # in/min, of 1234 mm/min
        "31.9",  # in/min, the finishing feed of 811 mm/min
        "19 min 47 s",
        "The program stops before corners: measure the boss",
        "up to Ø 0.3543 in",
        "1.7980",
        "Deburr all edges before anodising",
        "Aluminium chips weld to a dull cutter",
        "The machine's manual",
        "left jaw up to Z -0.6",
    ],
)
def test_it_says(printed, said):
    assert said in printed


def test_plans_numbers_are_all_there(printed):
    for number, operation in enumerate(bracket.plan().operations):
        assert operation.id in printed
        assert str(bracket.report().operations[number].first_line) in printed


def test_each_page_says_what_it_belongs_to():
    pages = PdfReader(io.BytesIO(sheet())).pages
    for number, page in enumerate(pages, start=1):
        text = page.extract_text()
        assert f"page {number} of {len(pages)}" in text
        assert "eyepiece-bracket · OB-0117 · rev B · digest 8c1f00d5a2b34e77" in text


def test_paper_follows_the_units():
    """ISO 216 A4 is 210 by 297 mm; US Letter 8.5 by 11 in."""
    letter = PdfReader(io.BytesIO(sheet())).pages[0].mediabox
    assert (float(letter.width), float(letter.height)) == (8.5 * 72, 11 * 72)
    a4 = PdfReader(io.BytesIO(sheet(units="mm"))).pages[0].mediabox
    assert float(a4.width) * 25.4 / 72 == pytest.approx(210, abs=0.5)
    assert float(a4.height) * 25.4 / 72 == pytest.approx(297, abs=0.5)


def test_a_broken_obligation_can_not_be_missed():
    text = text_of(sheet(broken="regions_stand"))
    assert "EVIDENCE: BROKEN, DO NOT RUN" in text
    assert "BROKEN" in text and "use a smaller cutter" in text


@pytest.mark.parametrize(
    "title",
    [
        "W" * 200,
        "a very long title " * 12,
        "Βραχίονας προσοφθαλμίου Ελλάδος",
        "Кронштейн окуляра",
        "Halterung für Okularauszug, Größe Ø50 ± ½",
        "<b>bold</b> & <para> \x00\x1b\n%PDF {{}} </font>",
        "",
    ],
)
def test_any_title_is_printed_as_text(title):
    job = bracket.job(Title(name="bracket", title=title, number=title, revision=title[:40]))
    text = text_of(sheet(job)).replace(" ", "")
    clean = "".join(c if c.isprintable() else " " for c in title)
    wanted = "".join(clean.split())[:60]
    assert wanted in text


def test_long_texts_everywhere_still_make_pages():
    long = "an unreasonable amount of advice, " * 60
    job = bracket.job(Title(name="n" * 40, title=long, number=long, revision=long, notes=(long,)))
    job = replace(
        job,
        datum=replace(job.datum, found_by=long, said=long),
        workholding=replace(job.workholding, method=long),
        inspection=tuple(replace(row, what=long, gauge=long) for row in job.inspection),
    )
    pages = PdfReader(io.BytesIO(sheet(job))).pages
    assert len(pages) < 12
    assert all("digest 8c1f00d5a2b34e77" in page.extract_text() for page in pages)


def test_nothing_is_smaller_than_7_points():
    found = set()
    for page in PdfReader(io.BytesIO(sheet())).pages:
        page.extract_text(visitor_text=lambda text, cm, tm, font, size: found.add(round(size, 2)))
    assert min(size for size in found if size) >= 7


def test_fonts_are_embedded():
    for page in PdfReader(io.BytesIO(sheet())).pages:
        for font in page["/Resources"]["/Font"].values():
            found = font.get_object()
            if "DejaVu" in found["/BaseFont"]:
                assert "/FontFile2" in found["/FontDescriptor"].get_object()


def test_markdown_says_the_same():
    content = compose(
        bracket.job(), bracket.part(), bracket.plan(), bracket.report(), version="0.1.0"
    )
    text = markdown(content).replace("\\", "")
    for section in content.sections:
        assert section.title in text
        for part in section.parts:
            for cell in _cells(part):
                assert " ".join(cell.split()) in text


def _cells(part: object) -> list[str]:
    match part:
        case Facts(rows) | Table(_, rows):
            return [cell for row in rows for cell in row]
        case Checks(items) | Lines(items):
            return list(items)
    raise AssertionError(part)


def test_markdown_can_not_be_broken_out_of():
    title = Title(name="x", title="a | b\n# c <script> [d](e) `f`")
    content = compose(
        bracket.job(title), bracket.part(), bracket.plan(), bracket.report(), version="0.1.0"
    )
    text = markdown(content)
    assert "\n# c" not in text
    assert "<script>" not in text.replace("\\<", "")
    assert "a \\| b" in text


def test_a_commit_is_on_every_page():
    pdf = render(
        bracket.job(),
        bracket.part(),
        bracket.plan(),
        bracket.report(),
        version="0.1.0",
        commit="0123456789abcdef",
        motions=bracket.motions(),
    )
    for page in PdfReader(io.BytesIO(pdf)).pages:
        assert "commit 0123456789ab" in page.extract_text()


def test_each_picture_says_what_is_cut_and_what_remains(printed):
    """100000 mm3 are 6.102 in3 (1 in = 25.4 mm)."""
    assert "6.102 in³, from Z 0 to Z -0.5" in printed
    assert "Remains boss, lug, rail" in printed
    assert "Left for later 0.01 in on the walls, 0.005 in on the floor" in printed
    assert "Starts at line 31" in printed
    content = compose(
        bracket.job(), bracket.part(), bracket.plan(), bracket.report(), version="0.1.0"
    )
    (section,) = (s for s in content.sections if s.key == "cuts")
    assert len(section.parts) == len(bracket.plan().operations)


def test_diameters_and_radii_are_told(printed):
    assert "Ø1.8" in printed  # of the boss
    assert "R0.2" in printed  # of the lug's corners


def test_room_left_for_words_is_enough():
    """No letter is wider than pictures leave room for, in either weight of the embedded font."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    from compiler.pictures.display import text_width
    from compiler.sheet.fonts import BODY, BOLD, register

    register()
    ranges = ((0x20, 0x7F), (0xA0, 0x180), (0x386, 0x3CF), (0x400, 0x460))
    for letter in (chr(code) for first, last in ranges for code in range(first, last)):
        assert stringWidth(letter, BODY, 1) <= text_width(letter, 1) + 1e-6, letter
        assert stringWidth(letter, BOLD, 1) <= text_width(letter, 1, bold=True) + 1e-6, letter
