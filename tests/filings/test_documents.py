"""PDF, workbook and charts, read back and held against the report that they were made from."""

import io

import openpyxl
import pytest
from pypdf import PdfReader
from reportlab.pdfbase.pdfmetrics import stringWidth

from outreach.filings.charts import drawing_of, lay_out, svg_of
from outreach.filings.charts.layout import Rectangle, Stroke, Words
from outreach.filings.documents.pdf import write_pdf
from outreach.filings.documents.tables_in_pdf import PADDING, SIZE, column_widths
from outreach.filings.documents.workbook import write_workbook
from outreach.filings.report import Bar, Chart, Column, Number, Section, Table
from outreach.staff.faces import BOLD, PLAIN, register_faces
from tests.filings.test_report import make_report


def pdf_text(report) -> str:
    target = io.BytesIO()
    write_pdf(report, target)
    return " ".join(page.extract_text() for page in PdfReader(target).pages).replace("\n", " ")


def sheets_of(report) -> openpyxl.Workbook:
    target = io.BytesIO()
    write_workbook(report, target)
    return openpyxl.load_workbook(target)


def table_of(*rows, columns=None) -> Table:
    columns = columns or (Column(heading="What"), Column(heading="Value", is_number=True))
    return Table(key="activity", caption="A table", columns=columns, rows=rows)


def report_with(table):
    return make_report(sections=(Section(key="activity", heading="Part", tables=(table,)),))


def test_every_printed_number_of_the_report_is_in_the_pdf():
    report = make_report()

    text = pdf_text(report)

    for table in report.tables:
        for row in (*table.rows, table.total):
            for cell in row:
                assert (cell.printed if isinstance(cell, Number) else cell) in text
    assert report.summary in text
    assert report.headlines[0].interval in text


def test_the_pdf_says_what_it_is():
    target = io.BytesIO()
    write_pdf(make_report(), target)

    reader = PdfReader(target)

    assert reader.metadata.title == "Home composting in Town, 2025-Q2"
    assert reader.trailer["/Root"]["/Lang"] == "en-US"


def test_words_of_the_records_are_never_taken_for_markup():
    name = "O'Dell & Sons <b>Yard</b>"

    assert name in pdf_text(report_with(table_of((name, Number(value=1, printed="1")))))


def test_spanish_names_print():
    assert "Peñuelas, Ámbar Güell" in pdf_text(
        report_with(table_of(("Peñuelas, Ámbar Güell", Number(value=1, printed="1"))))
    )


def test_a_thousand_rows_repeat_their_heading():
    rows = tuple((f"row {n}", Number(value=n, printed=str(n))) for n in range(1000))
    target = io.BytesIO()
    write_pdf(report_with(table_of(*rows)), target)

    pages = [page.extract_text() for page in PdfReader(target).pages]

    assert len(pages) > 10
    assert all("Value" in page for page in pages[1:-1])


@pytest.mark.parametrize("longest", [1, 40, 400])
def test_columns_never_run_over_the_page(longest):
    register_faces()
    columns = tuple(Column(heading=f"Heading {n}", is_number=n > 4) for n in range(8))
    row = tuple("x " * longest if n < 5 else Number(value=1e9, printed="1,000,000,000") for n in range(8))

    widths = column_widths(table_of(row, columns=columns), width=500)

    assert sum(widths) <= 500.001
    assert min(widths) > 0


def test_a_shrunk_column_is_no_narrower_than_its_longest_word():
    columns = [Column(heading="Quarter, band"), *(Column(heading="What was seen") for _ in range(7))]
    row = ("2026-Q3, 1", *["a second-hand tumbler that nobody had emptied since the spring before last"] * 7)

    widths = column_widths(table_of(row, columns=columns), width=500)

    room = [width - 2 * PADDING for width in widths]
    words = [max(cell.split(), key=lambda word: stringWidth(word, PLAIN, SIZE)) for cell in row]
    assert sum(widths) <= 500 + 1e-6
    assert [stringWidth(word, PLAIN, SIZE) <= wide for word, wide in zip(words, room, strict=True)] == [
        True
    ] * 8


def test_addresses_of_sources_may_break_so_that_the_words_beside_them_do_not():
    columns = [Column(heading="Source"), Column(heading="Year", is_number=True), Column(heading="Said")]
    row = ("https://example.org/" + "a" * 400, Number(value=2019, printed="2019"), "second-hand " * 40)

    widths = column_widths(table_of(row, columns=columns), width=260)

    assert sum(widths) <= 260 + 1e-6
    assert widths[2] - 2 * PADDING >= stringWidth("second-hand", PLAIN, SIZE)
    assert widths[1] - 2 * PADDING >= stringWidth("2019", PLAIN, SIZE)


def test_the_workbook_holds_the_numbers_not_their_print():
    report = make_report()

    sheet = sheets_of(report)["Activity"]

    cells = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=3)]
    # A spreadsheet keeps 15 to 16 digits of a number.
    assert cells == [
        ["What", "Weight, t"],
        ["Workshops", 3],
        ["=1+1", pytest.approx(0.1 + 0.2, rel=1e-15)],
        ["All", 3.3],
    ]


@pytest.mark.parametrize("start", ["=cmd|'/C calc'!A0", "+1", "-1", "@SUM(A1)", "\tx", "=HYPERLINK(1)"])
def test_no_text_becomes_a_formula(start):
    sheet = sheets_of(report_with(table_of((start, Number(value=1, printed="1")))))["Activity"]

    cell = sheet["A4"]

    assert (cell.data_type, cell.value.strip()) == ("s", start.strip())


def test_control_characters_do_not_break_the_workbook():
    sheet = sheets_of(report_with(table_of(("bad\x07name", Number(value=1, printed="1")))))["Activity"]

    assert sheet["A4"].value == "badname"


def test_a_chart_without_any_bar_is_still_drawn():
    empty = Chart(key="k", caption="", unit="t", bars=(), alt="nothing yet")

    assert "nothing yet" in svg_of(empty)
    assert lay_out(Chart(key="k", caption="", unit="t", bars=(), alt="", shape="columns")).height > 0


def test_bars_are_as_long_as_their_values():
    chart = Chart(
        key="k", caption="", unit="t", bars=(Bar(label="a", value=2), Bar(label="b", value=1)), alt=""
    )

    first, second = [mark for mark in lay_out(chart).marks if isinstance(mark, Rectangle)]

    assert first.width == pytest.approx(2 * second.width)


def test_a_negative_bar_goes_the_other_way():
    chart = Chart(
        key="k", caption="", unit="t", bars=(Bar(label="a", value=-1), Bar(label="b", value=1)), alt=""
    )

    first, second = [mark for mark in lay_out(chart).marks if isinstance(mark, Rectangle)]

    assert first.x + first.width == pytest.approx(second.x)


def test_everything_drawn_lies_inside_the_chart():
    bars = tuple(
        Bar(label=f"20{n}-Q1", value=n, lower=0, upper=2 * n, printed=f"{n}.00") for n in range(10, 22)
    )
    for shape in ("bars", "columns"):
        layout = lay_out(Chart(key="k", caption="", unit="t", bars=bars, alt="", shape=shape))

        for mark in layout.marks:
            if isinstance(mark, Rectangle):
                assert -0.1 <= mark.x <= mark.x + mark.width <= layout.width + 0.1
            elif isinstance(mark, Stroke):
                assert -0.1 <= min(mark.x1, mark.x2) <= max(mark.x1, mark.x2) <= layout.width + 0.1
            elif isinstance(mark, Words):
                assert 0 <= mark.y <= layout.height


def test_the_drawing_scales_to_the_width_it_is_given():
    register_faces()
    chart = make_report().charts[0]

    drawing = drawing_of(chart, face=PLAIN, bold_face=BOLD, width=240)

    assert drawing.width == 240
    assert drawing.height == pytest.approx(lay_out(chart).height / 2)


def test_labels_are_escaped_in_the_page():
    chart = Chart(key="k", caption="", unit="t", bars=(Bar(label="<script>", value=1),), alt='"><script>')

    assert "<script>" not in svg_of(chart)
