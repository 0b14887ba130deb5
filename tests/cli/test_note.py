import copy
import re
import runpy
from html.parser import HTMLParser
from pathlib import Path

import pytest

from cli.cautions import CAUTIONS, NOT_CHECKED, ONE_LINE
from cli.note import note_html, utilisation_rows
from cli.notes.html import bar_svg
from cli.notes.working import working_lines
from cli.symbols import number, quantity, utilisation

sample = runpy.run_path(str(Path(__file__).with_name("sample_contract.py")))
HOSTILE = "<script>alert(\"x\")</script>'&"
FREE_TEXT = {
    "title", "name", "because", "path", "history", "occurs", "repeats_text", "column", "factor", "clause", "at",
    "reason", "text", "basis", "recipe", "condition", "source", "life_text", "load", "surface", "category",
    "catalogue", "stress_on", "kind", "symbol", "griplife", "component",
}  # fmt: skip
NOT_PRINTED = {"range_mean", "trace", "traces", "curve", "first_bolt_utilisation", "along_record"}


class Page(HTMLParser):
    """Tags, attributes and the text outside pictures and style sheet."""

    def __init__(self, html):
        super().__init__()
        self.tags, self.attributes, self.text, self.titles, self._inside = [], [], [], [], []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs
        if tag in ("td", "th", "mn", "mi", "div", "p", "li"):
            self.text.append(" ")
        if tag in ("svg", "style"):
            self._inside.append(tag)

    def handle_endtag(self, tag):
        if self._inside and self._inside[-1] == tag:
            self._inside.pop()

    def handle_data(self, data):
        if not self._inside:
            self.text.append(data)

    @property
    def words(self):
        return re.sub(r"[ \n]+", " ", "".join(self.text))


@pytest.fixture(scope="module")
def html():
    return note_html(sample["contract"]())


@pytest.fixture(scope="module")
def page(html):
    return Page(html)


def leaves(value, path=""):
    """Every number and text of a contract with its path, without what is drawn and not written."""
    if isinstance(value, dict):
        for key, item in value.items():
            if key not in NOT_PRINTED:
                yield from leaves(item, f"{path}.{key}")
    elif isinstance(value, list):
        for place, item in enumerate(value):
            yield from leaves(item, f"{path}[{place}]")
    elif value is not None and not isinstance(value, bool):
        yield path, value


def printed_forms(value):
    forms = {number(value), number(value, 3), number(value, 6), utilisation(value), number(100 * value, 3)}
    forms |= {quantity(value, "N").split()[0], quantity(value, "N mm").split()[0]}
    return forms | {f"{value:,}".replace(",", "\u202f")}


def test_every_number_of_the_contract_is_printed(page):
    tokens = set(re.findall(r"−?\d[\d\u202f]*(?:\.\d+)?(?:·10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?", page.words))
    missing = [
        (path, value)
        for path, value in leaves(sample["contract"]())
        if not isinstance(value, str) and not printed_forms(value) & tokens
    ]
    assert missing == []


def test_every_text_of_the_contract_is_printed(page):
    skipped = re.compile(
        r"\.(id|code|unit|what|formula|symbol|level|life_text)$|details\[\d\]\.checks\[0\]\.title$"
        r"|other_stress\[\d\]\.text$"
    )
    missing = [
        (path, value)
        for path, value in leaves(sample["contract"]())
        if isinstance(value, str) and not skipped.search(path) and value not in page.words
    ]
    assert missing == []


def test_the_parts_stand_in_the_order_a_checker_reads_them(page):
    parts = [
        "DRAFT — NOT CHECKED", "made by", "checked by", "approved by", "Basis and editions",
        "Scope and what was not checked", "Inputs", "Joint:", "Loads and cycles", "Assessment:",
        "Checks of the joint: grip", "Fatigue", "History with the slip limit", "Slip through the record",
        "Movement if it slips", "Strength after slip", "Utilisation of every check", "Warnings and deviations",
        "Alternatives", "Inspection and care plan", "Assumptions", "Sensitivity", "Cautions", "End of note",
    ]  # fmt: skip
    heads = [page.words.index(part) for part in parts]
    assert heads == sorted(heads)


def test_a_life_without_an_interval_or_times_says_why():
    contract = sample["contract"]()
    outlook = contract["joints"][0]["details"][0]["outlook"]
    outlook["interval"] = {"reason": "its record holds 7 cycles"}
    outlook |= {"half_of_damage": None, "along_record": [], "untimed": "the record is too long"}
    words = Page(note_html(contract)).words
    assert "How far the life depends on the loads that were counted: not judged; its record holds 7 cycles." in words
    assert "When the damage is done: not looked for; the record is too long." in words
    assert "Damage along each load" not in words


def test_a_life_that_no_few_cycles_decide_says_so():
    contract = sample["contract"]()
    half = {"cycles": None, "share": 0.472, "text": "not from few cycles, the 100 most harmful make", "list": []}
    contract["joints"][0]["details"][0]["outlook"]["half_of_damage"] = half
    words = Page(note_html(contract)).words
    assert "Half of the damage: not from few cycles, the 100 most harmful make 47.2 %." in words


def test_signature_fields_are_blank(html):
    start = html.index('<table class="sign">')
    table = html[start : html.index("</table>", start)]
    assert re.findall(r"<td>(.*?)</td>", table) == [""] * 9


def test_the_page_asks_for_nothing_from_outside(html, page):
    bare = re.sub(r'xmlns(:xlink)?="http://www\.w3\.org/[^"]+"', "", html)
    assert not re.search(r"https?:|//[a-z]|@import|<link|<script|<iframe|<img|\bsrc=", bare)
    assert all(value.startswith("#") for name, value in page.attributes if name.endswith("href"))
    assert set(re.findall(r"url\((.)", html)) == {"#"}


def test_ids_are_unique_within_the_page(page):
    ids = [value for name, value in page.attributes if name == "id"]
    assert len(ids) == len(set(ids))


def test_hostile_text_is_printed_and_not_obeyed():
    def changed(value, key=""):
        if isinstance(value, dict):
            return {name: changed(item, name) for name, item in value.items()}
        if isinstance(value, list):
            return [changed(item, key) for item in value]
        texts = FREE_TEXT | {"assumptions", "cautions", "remarks", "advice", "still_to_show"}
        return value + HOSTILE if isinstance(value, str) and key in texts else value

    contract = changed(sample["contract"]())
    contract["inputs"][0]["sha256"] = '"} body{} </style>'
    for joint in contract["joints"]:
        for item in joint["checks"] + joint["details"]:
            for figure in item["figures"]:
                figure["formula"] = ""
    made = note_html(contract)
    page = Page(made)
    assert "script" not in page.tags
    assert "<script" not in made
    assert page.words.count(HOSTILE) > 50
    assert made.count("</style>") == 1 + made.count('<style type="text/css">')


def test_the_same_contract_gives_the_same_page_and_is_left_as_it_was(html):
    contract = sample["contract"]()
    before = copy.deepcopy(contract)
    assert note_html(contract) == html
    assert contract == before


def test_a_working_shows_symbols_values_result_and_clause():
    line = working_lines(sample["checks"]()[0]["figures"])[-1]
    assert [part.text for part in line.chain] == [
        "F_s,Rd",
        "k_s × n × μ × (F_p,C − 0.8 × F_t,Ed) / γ_M3",
        "1 × 1 × 0.4 × (171\u202f500 − 0.8 × 8253) / 1.25",
    ]
    assert line.result == "52\u202f767 N = 52.77 kN"
    assert line.clause == "EN 1993-1-8:2005, 3.9.2(1), eq. (3.8b)"


def test_of_two_numbers_of_one_symbol_the_one_that_was_used_is_printed():
    figure = sample["figure"]
    figures = [
        figure("F", "first", 2.0),
        figure("R", "first result", 4.0, "", "2 * F"),
        figure("R", "second result", 6.0, "", "2 * F"),
        figure("F", "second", 3.0),
    ]
    first, second = working_lines(figures)[1:3]
    assert first.chain[-1].text == "2 × 2"
    assert second.chain[-1].text == "2 × 3"


def test_a_working_that_does_not_give_the_result_is_not_printed():
    figure = sample["figure"]
    for figures in (
        [figure("F", "", 2.0), figure("R", "", 5.0, "", "2 * F")],
        [figure("R", "", 5.0, "", "2 * F")],
    ):
        line = working_lines(figures)[-1]
        assert ([part.text for part in line.chain], line.result) == (["R", "2 × F"], "5")


def test_the_largest_failing_utilisation_governs():
    rows = utilisation_rows(sample["contract"]())
    assert [row["what"] for row in rows if row["governing"]] == ["slip at ultimate, bolt by bolt"]


def test_a_failure_without_a_number_governs():
    contract = sample["contract"]()
    contract["joints"][0]["checks"][2] |= {"state": "fails", "utilisation": None}
    assert [row["what"] for row in utilisation_rows(contract) if row["governing"]] == ["bearing of the end plate"]


def test_nothing_governs_where_nothing_was_judged():
    contract = sample["contract"]()
    contract["joints"][0] |= {"checks": contract["joints"][0]["checks"][3:], "details": []}
    assert not any(row["governing"] for row in utilisation_rows(contract))


def test_the_governing_row_is_marked_by_a_word(page):
    assert page.words.count("► governing") == 1


def test_not_judged_is_explained_and_listed(page):
    assert "“Not judged” means that the rule does not cover the case" in page.words
    assert "Could not be judged: end plate to column flange: net section of the end plate" in page.words


def test_a_joint_of_details_only_makes_a_note():
    contract = sample["contract"]()
    joint = contract["joints"][0]
    joint |= {"geometry": None, "checks": [], "slip": None, "movement": None, "warnings": [], "alternatives": []}
    words = Page(note_html(contract)).words
    assert "weld toe" in words
    assert "None was sized." in words
    assert "Slip through the record" not in words


def test_a_bar_ends_at_its_number_and_shows_when_it_was_cut():
    assert 'width="50.0"' in bar_svg(0.5)
    assert 'width="150.0"' in bar_svg(7.0)
    assert "l8 6-8 6z" in bar_svg(7.0)
    assert "l8 6-8 6z" not in bar_svg(1.4)
    assert bar_svg(None) == ""


def test_cautions_are_whole_sentences_and_what_was_not_checked_is_printed(page):
    assert all(text.endswith(".") and text[0].isupper() for text in (*CAUTIONS, *NOT_CHECKED, ONE_LINE))
    assert all(text in page.words for text in NOT_CHECKED)
