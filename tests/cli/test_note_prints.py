"""The prints of one note against each other: same numbers, same order, same bytes; hostile text in each of them."""

import io
import json
import re
import runpy
import subprocess
import sys
from collections import Counter
from dataclasses import fields, is_dataclass, replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from pypdf import PdfReader

from cli import plots
from cli.note import note_html, note_markdown, note_pdf, note_print, require_print
from cli.notes.formula import Formula
from cli.notes.html import html_page
from cli.notes.markdown import escaped, markdown_text
from cli.notes.model import Bar, Bullets, Heading, Paragraph, Picture, Table, Working, blocks_of, visible
from cli.notes.pdf import pdf_file
from cli.notes.whole import note_of
from cli.screen import summary
from loadhistories.validation import InputError

sample = runpy.run_path(str(Path(__file__).with_name("sample_contract.py")))
NUMBER = re.compile(r"−?\d[\d\u202f]*(?:\.\d+)?(?:·10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?")
LINK = '[click](https://example.invalid/a) http://example.invalid/b <img src=x onerror="alert(1)">'
HOSTILE = (
    '<script>alert("x")</script>', "#eval(\"1+1\") $x$ #import \"@preview/a:0.1.0\": b", "`code` **bold** | cell | _a_",
    "=cmd|' /C calc'!A0", LINK, "left\u202eright\u2066up", "bell\x07 escape\x1b[31m nul\x00",
    "two\nlines\r\n# heading\n- item\n| a | b |", "quote \" ' \\ back \\u{41}",
)  # fmt: skip


class Words(HTMLParser):
    """The text of a page outside of pictures and style sheet, with a gap wherever a tag stands."""

    def __init__(self, page):
        super().__init__()
        self.found, self.tags, self._inside = [], [], []
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.found.append(" ")
        if tag in ("svg", "style", "title"):
            self._inside.append(tag)

    def handle_endtag(self, tag):
        self.found.append(" ")
        if self._inside and self._inside[-1] == tag:
            self._inside.pop()

    def handle_data(self, data):
        if not self._inside:
            self.found.append(data)

    @property
    def text(self):
        return "".join(self.found)


def contract():
    """The sample, without its earlier assessment of anything that draws at length."""
    made = sample["contract"]()
    made["note"] = {
        "project": "P", "number": "N-1", "revision": "C", "date": "2026-03-31", "author": "A. Maker",
        "checker": None, "approver": None,
    }  # fmt: skip
    return made


@pytest.fixture(scope="module")
def note():
    return note_of(contract())


@pytest.fixture(scope="module")
def pdf(note):
    return pdf_file(note)


@pytest.fixture(scope="module")
def pdf_text(pdf):
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf)).pages)


def without_formulas(part):
    """A note without formulas, which each print sets in its own way, and without pictures."""
    if isinstance(part, tuple):
        return tuple(without_formulas(item) for item in part if not isinstance(item, Formula | Picture))
    if not is_dataclass(part):
        return part
    return replace(part, **{field.name: without_formulas(getattr(part, field.name)) for field in fields(part)})


def words_of_runs(runs):
    """The words of runs, in one piece."""
    told = [run for run in runs if not isinstance(run, Bar | Formula)]
    yield "".join(getattr(run, "words", getattr(run, "word", run)) for run in told)


def words_of_note(note):
    """Every text of the model in its order, without formulas, pictures and captions of pictures."""
    for block in blocks_of(note):
        match block:
            case Paragraph(runs=runs) | Heading(runs=runs):
                yield from words_of_runs(runs)
            case Bullets(items=items):
                for item in items:
                    yield from words_of_runs(item)
            case Table():
                yield block.caption
                for cells in (block.head, *(row.cells for row in block.rows)):
                    for cell in cells:
                        yield from words_of_runs(cell)
            case Working(lines=lines):
                for line in lines:
                    yield from (line.title, line.result, line.clause)


def tokens(text):
    return NUMBER.findall(text)


def without_numbering(markdown):
    """Markdown without the numbers of its sections and lists, which a browser writes itself, and without pictures."""
    lines = [line for line in markdown.splitlines() if not line.startswith("\\[Picture: ")]
    return "\n".join(re.sub(r"^(## )?\d+\.? +", "", line) for line in lines)


def test_page_and_markdown_have_the_same_numbers_in_the_same_order(note):
    bare = without_formulas(note)
    wanted = tokens("\n".join(words_of_note(bare)))
    assert len(wanted) > 500
    body = html_page(bare).split("<header>")[1].split('<p class="end">')[0]
    assert not [token for section in note.sections for token in tokens(section.title)]
    assert tokens(Words(body).text) == tokens(note.title) + wanted
    text = without_numbering(markdown_text(bare)).split("End of note.")[0]
    assert tokens(text) == tokens(note.title) + wanted


def test_numbers_of_tables_and_results_stand_in_the_same_order_in_page_and_markdown(note):
    page, text = html_page(note), markdown_text(note)
    results = re.findall(r'<b class="result">(.*?)</b>', page)
    written = [line.result for block in blocks_of(note) if isinstance(block, Working) for line in block.lines]
    assert len(results) > 20
    assert results == written
    place = 0
    for result in written:
        place = text.index(f"**{escaped(result)}**", place) + 1


def test_every_number_of_the_note_is_in_the_pdf(note, pdf_text):
    wanted = Counter(tokens("\n".join(words_of_note(note))))
    missing = wanted - Counter(tokens(pdf_text))
    assert not missing


def test_the_parts_have_the_same_order_in_all_prints(note, pdf_text):
    titles = [section.title for section in note.sections]
    assert re.findall(r"<h2>(.*?)</h2>", html_page(note)) == titles
    assert re.findall(r"^## \d+  (.*)$", markdown_text(note), re.MULTILINE) == titles
    places = [re.search(rf"^{k}\s+{re.escape(title)}", pdf_text, re.MULTILINE) for k, title in enumerate(titles, 1)]
    assert None not in places
    starts = [place.start() for place in places]
    assert starts == sorted(starts)


def test_the_same_contract_gives_the_same_bytes_in_every_print(note, pdf):
    again = note_of(contract())
    assert again == note
    assert html_page(again) == html_page(note)
    assert markdown_text(again) == markdown_text(note)
    assert pdf_file(again) == pdf


def test_a_pdf_has_a_date_only_where_one_is_given(note, pdf, monkeypatch):
    assert PdfReader(io.BytesIO(pdf)).metadata.creation_date is None
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    dated = pdf_file(note)
    assert PdfReader(io.BytesIO(dated)).metadata.creation_date.date().isoformat() == "2023-11-14"
    assert pdf_file(note) == dated
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "yesterday")
    with pytest.raises(InputError, match="SOURCE_DATE_EPOCH must be a whole number of seconds since 1970"):
        pdf_file(note)


def test_every_picture_of_the_pdf_has_words_for_those_who_cannot_see_it(pdf):
    assert b"/Alt" in pdf or b"/StructTreeRoot" in pdf
    assert PdfReader(io.BytesIO(pdf)).trailer["/Root"]["/MarkInfo"]["/Marked"]


def test_a_suffix_of_no_print_is_refused():
    with pytest.raises(InputError, match=r"a note is written to a file that ends in \.html, .*; got 'note\.docx'"):
        note_print(contract(), "note.docx")
    with pytest.raises(InputError, match="ends in"):
        require_print("note")


def test_a_pdf_without_its_package_is_refused_before_any_work(monkeypatch):
    monkeypatch.setattr("cli.notes.pdf.find_spec", lambda name: None)
    with pytest.raises(InputError, match=r"needs the package typst; install it with pip install 'griplife\[pdf\]'"):
        require_print("note.pdf")


def hostile_contract(text):
    """The sample with a text in every name, title and path."""

    def changed(value, key=""):
        if isinstance(value, dict):
            return {name: changed(item, name) for name, item in value.items()}
        if isinstance(value, list):
            return [changed(item, key) for item in value]
        named = key in ("title", "name", "path", "history", "column", "because", "load", "surface", "reason", "project")
        return f"{value} {text}" if isinstance(value, str) and named else value

    return changed(contract())


@pytest.fixture
def undrawn(monkeypatch):
    """Pictures that hold their words and nothing else: what they draw is looked at once, at the end."""
    empty = b'<svg xmlns="http://www.w3.org/2000/svg" width="9pt" height="9pt" viewBox="0 0 9 9"/>'
    monkeypatch.setattr(plots, "_svg", lambda draw, size, **words: plots._inline(empty, **words))


def test_hostile_text_is_drawn_and_not_obeyed():
    made = hostile_contract(" ".join(HOSTILE))
    made["joints"] = made["joints"][:1]
    assert {tag for tag, _ in Words(note_html(made)).tags} & {"svg"}


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_and_not_obeyed_on_the_page(text):
    page = note_html(hostile_contract(text))
    words = Words(page)
    tags = {tag for tag, _ in words.tags}
    assert not tags & {"script", "img", "iframe", "a", "form", "link", "object"}
    assert not [name for _, attrs in words.tags for name in attrs if name.startswith("on")]
    assert "\u202e" not in page and "\u2066" not in page and "\x07" not in page and "\x1b" not in page
    assert page.count("</style>") == 1 + page.count('<style type="text/css">')
    shown = re.sub(r"\s+", " ", visible(text)).strip()
    assert re.sub(r"\s+", " ", words.text).count(shown) > 5


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_and_not_obeyed_in_markdown(text):
    made = note_markdown(hostile_contract(text))
    assert "\u202e" not in made and "\x07" not in made and "\x1b" not in made and "\x00" not in made
    bare = re.sub(r"\\.", "", made)
    assert not re.search(r"[<>`\[\]~$]", bare)
    assert "https:" not in made and "http:" not in made
    assert set(re.findall(r"^#+ ", made, re.MULTILINE)) <= {"# ", "## ", "### ", "#### "}
    assert len(re.findall(r"^# ", made, re.MULTILINE)) == 1
    rows = [line for line in bare.splitlines() if line.startswith("|")]
    assert len(rows) == len([line for line in note_markdown(contract()).splitlines() if line.startswith("|")])


@pytest.mark.usefixtures("undrawn")
@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_and_not_obeyed_in_the_pdf(text):
    made = contract()
    made["title"] = f"T {text}"
    made["loads"] = made["loads"][:1]
    made["joints"][0] |= {"geometry": None, "details": [], "slip": None, "movement": None, "checks": []}
    reader = PdfReader(io.BytesIO(note_pdf(made)))
    found = re.sub(r"\s+", "", reader.pages[0].extract_text()).replace("\u200b", "")
    assert re.sub(r"\s+", "", visible(text)) in found
    assert reader.metadata.title == f"T {visible(text)}"
    assert not [page for page in reader.pages if "/Annots" in page]


def test_hostile_text_on_the_screen_has_no_control_letters():
    for text in HOSTILE:
        shown = summary(hostile_contract(text), colour=False)
        assert all(letter == "\n" or letter.isprintable() for letter in shown)


def test_assessing_without_a_note_loads_nothing_of_the_note(tmp_path):
    code = (
        "import sys\nfrom cli.assess import assess_file\nfrom cli.outcome import outcome_files\n"
        "outcome_files({}, json_file=None, note_file=None)\n"
        "print([name for name in sys.modules if name.startswith(('cli.note', 'cli.plots', 'matplotlib', 'typst'))])"
    )
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert json.loads(shown.stdout.replace("'", '"')) == []
