"""The calculation note in a real browser: opens from disk, asks for nothing, is accessible, prints whole tables.

Run with `pytest -m browser`; needs chromium, and for the accessibility check the test package axe-core-python or a
file axe.min.js named by AXE_CORE.
"""

import io
import json
import os
import re
import shutil
import subprocess
from html import unescape
from importlib.resources import files
from pathlib import Path

import pytest

from cli.assess import assess_file
from cli.notes.formula import Formula
from cli.notes.html import NOTHING_ELSE, html_page
from cli.notes.model import Bar, Table, blocks_of
from cli.notes.whole import note_of

pytestmark = pytest.mark.browser
NAMES = ("chromium", "chromium-browser", "google-chrome")
SECONDS = 600
# A picture is one image with words; what it is drawn of is left out.
RUN_AXE = """
axe.run({exclude: [["svg.plot > g"], ["svg.plot > defs"]]}).then(found => {
  const told = document.createElement("pre");
  told.id = "told";
  told.textContent = JSON.stringify({
    violations: found.violations.map(v => [v.id, v.impact, v.nodes.map(n => n.html.slice(0, 200))]),
    passes: found.passes.map(p => p.id),
  });
  document.body.appendChild(told);
});
"""


@pytest.fixture(scope="session")
def chromium(tmp_path_factory):
    """Runs chromium on a page with an empty profile; gives stdout and stderr."""
    program = next((path for name in NAMES if (path := shutil.which(name))), None)
    assert program, "no chromium: install it (Debian: apt install chromium), or leave out -m browser"

    def run(page, *options):
        profile = tmp_path_factory.mktemp("profile")
        shown = subprocess.run(
            [program, "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
             "--disable-dev-shm-usage", "--no-first-run", "--enable-logging=stderr", f"--user-data-dir={profile}",
             *options, Path(page).as_uri()],
            capture_output=True, text=True, timeout=SECONDS, check=False,
        )  # fmt: skip
        assert shown.returncode == 0, shown.stderr
        return shown

    return run


@pytest.fixture(scope="session")
def note():
    return note_of(assess_file(Path(str(files("loadhistories.samples").joinpath("drive_bracket.toml")))))


@pytest.fixture(scope="session")
def page(note, tmp_path_factory):
    path = tmp_path_factory.mktemp("note") / "note.html"
    path.write_text(html_page(note), encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def printed(page, chromium):
    """Text of each page of the printed note, without spaces."""
    from pypdf import PdfReader

    path = page.with_suffix(".pdf")
    chromium(page, "--no-pdf-header-footer", f"--print-to-pdf={path}")
    return [squeezed(part.extract_text()) for part in PdfReader(io.BytesIO(path.read_bytes())).pages]


def squeezed(text):
    return re.sub(r"\s+", "", text)


def requests_of(path):
    """Addresses that a page asked for; what chromium asks for by itself has no page as its initiator."""
    text = path.read_text(encoding="utf-8", errors="replace")
    # Chromium may leave its log unfinished.
    log = json.loads(text) if text.rstrip().endswith("}") else json.loads(text.rstrip().rstrip(",") + "]}")
    asked = [event["params"] for event in log["events"] if "url" in event.get("params", {})]
    return [item["url"] for item in asked if item.get("initiator", "not an origin") != "not an origin"]


def console_of(shown):
    return [line for line in shown.stderr.splitlines() if ":CONSOLE" in line]


def test_the_page_opens_from_disk_without_a_request_or_a_message(page, chromium, tmp_path):
    log = tmp_path / "net.json"
    shown = chromium(page, f"--log-net-log={log}", "--dump-dom")
    assert "End of note." in shown.stdout
    assert requests_of(log) == []
    assert console_of(shown) == []


def test_a_request_and_a_message_would_be_seen(chromium, tmp_path):
    other, log = tmp_path / "other.html", tmp_path / "net.json"
    other.write_text('<script>console.error("seen")</script><img src="http://127.0.0.1:9/none.png">', encoding="utf-8")
    shown = chromium(other, f"--log-net-log={log}", "--dump-dom")
    assert "http://127.0.0.1:9/none.png" in requests_of(log)
    assert any("seen" in line for line in console_of(shown))


def test_a_script_in_the_page_would_not_run(page, chromium, tmp_path):
    other = tmp_path / "note.html"
    script = '<script>document.title = "taken over"</script></body>'
    other.write_text(page.read_text(encoding="utf-8").replace("</body>", script), encoding="utf-8")
    shown = chromium(other, "--dump-dom")
    assert "<title>taken over</title>" not in shown.stdout
    assert any("Content Security Policy" in line for line in console_of(shown))


def test_the_page_has_no_fault_of_accessibility(page, chromium, tmp_path):
    other = tmp_path / "note.html"
    text = page.read_text(encoding="utf-8").replace(NOTHING_ELSE, f"{NOTHING_ELSE}; script-src 'unsafe-inline'")
    scripts = f"<script>{axe()}</script><script>{RUN_AXE}</script></body>"
    other.write_text(text.replace("</body>", scripts), encoding="utf-8")
    shown = chromium(other, "--virtual-time-budget=120000", "--dump-dom")
    told = re.search(r'<pre id="told">(.*?)</pre>', shown.stdout, re.DOTALL)
    assert told, console_of(shown)
    found = json.loads(unescape(told[1]))
    assert found["violations"] == []
    assert {"color-contrast", "document-title", "heading-order", "svg-img-alt", "html-has-lang"} <= set(found["passes"])


def axe():
    """The accessibility checker, kept from ending its own script element."""
    named = os.environ.get("AXE_CORE")
    path = Path(named) if named else Path(str(files("axe_core_python").joinpath("axe.min.js")))
    return path.read_text(encoding="utf-8").replace("</script", "<\\/script")


def words_of(cells):
    """The words of a row as they are printed; None where a formula or a drawing is among them."""
    runs = [run for cell in cells for run in cell if not isinstance(run, Bar)]
    if any(isinstance(run, Formula) for run in runs):
        return None
    return squeezed("".join(getattr(run, "words", getattr(run, "word", run)) for run in runs))


def test_no_row_is_cut_and_tables_that_fit_are_whole(note, printed):
    tables = [block for block in blocks_of(note) if isinstance(block, Table)]
    assert len(tables) > 20
    for table in tables:
        rows = [words for row in table.rows if (words := words_of(row.cells))]
        homes = [{number for number, text in enumerate(printed) if row in text} for row in rows]
        assert all(homes), (table.caption, rows[[bool(home) for home in homes].index(False)])
        if not table.may_break:
            assert set.intersection(*homes), (table.caption, rows)


def test_every_printed_page_says_which_job_it_belongs_to_and_that_it_is_not_checked(note, printed):
    assert len(printed) > 5
    foot = squeezed(note.foot)
    assert all(foot in text and f"page{number}of{len(printed)}" in text for number, text in enumerate(printed, start=1))
