"""`griplife look`: what was understood and what is wrong, on any file, within 80 columns."""

import json
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest

from cli.look import look_at, look_text


def rows(count=600, channels=1, seed=0):
    noise = np.random.default_rng(seed).normal(0, 0.05, (channels, count))
    return 10 * np.sin(np.arange(count) / 20) * (1 + np.arange(channels))[:, None] + noise


@pytest.fixture
def write(tmp_path, monkeypatch):
    """Writes a record with these columns and values; its path."""
    monkeypatch.chdir(tmp_path)

    def to_file(names, values, name="record.csv", before="", encoding="utf-8"):
        lines = [",".join([f"{0.01 * i:.2f}", *(repr(float(v)) for v in column)]) for i, column in enumerate(values.T)]
        text = before + ",".join(["Time [s]", *names]) + "\n" + "\n".join(lines) + "\n"
        (tmp_path / name).write_text(text, encoding=encoding)
        return name

    return to_file


def narrow(text):
    return max(map(len, text.splitlines())) <= 80


def test_a_sound_record_is_shown_with_what_was_understood(griplife, write):
    shown = griplife("look", write(["Force [kN]", "Path (mm)"], rows(channels=2), before="Logger 7\n"))
    assert shown.exit_code == 0
    assert "comma between cells, decimal point, header in line 2" in shown.stdout
    assert "600 rows, one every 0.01 s (100 Hz), 6 s" in shown.stdout
    assert "line 3: 0 s" in shown.stdout and "No fault was found." in shown.stdout
    assert "paste" not in shown.stdout
    (line,) = [line for line in shown.stdout.splitlines() if line.startswith("Force")]
    assert line.split()[:2] == ["Force", "kN"]
    assert float(line.split()[2]) == pytest.approx(rows(channels=2)[0].min(), abs=0.01)
    assert narrow(shown.stdout) and shown.stderr == ""


def test_faults_are_named_with_their_times_and_a_treatment_to_paste(griplife, write):
    values = rows()
    values[0, 300] += 300.0
    shown = griplife("look", write(["Force [kN]"], values))
    assert "Faults found: 1" in shown.stdout
    assert "- Force, 3 s: spike of 1 sample, 300" in shown.stdout
    assert '[load.clean]\nspikes = { window = "0.07 s", above = "8 times the median deviation" }' in shown.stdout
    assert narrow(shown.stdout)


def test_gaps_are_shown_and_not_refused(griplife, write, tmp_path):
    name = write(["Force [kN]"], rows())
    lines = (tmp_path / name).read_text().splitlines()
    lines[50] = lines[50].split(",")[0] + ","
    lines[51] = lines[51].split(",")[0] + ",-999"
    del lines[300:310]
    (tmp_path / name).write_text("\n".join(lines) + "\n")
    shown = griplife("look", name)
    for words in ("1 value missing", "1 value of -999", "10 rows missing", 'missing = ["-999"]', 'breaks = "join"'):
        assert words in shown.stdout
    assert shown.exit_code == 0
    marked = griplife("look", name, "--missing", "-999")
    assert "2 values missing" in marked.stdout and "-999," not in marked.stdout


def test_json_holds_everything_in_full(griplife, write):
    shown = griplife("look", write(["Force [kN]"], rows()), "--json", "-")
    seen = json.loads(shown.stdout)
    (channel,) = seen["channels"]
    assert (channel["name"], channel["unit"], channel["base_unit"]) == ("Force", "kN", "N")
    assert channel["highest"] == pytest.approx(rows()[0].max())
    assert channel["noise"] == pytest.approx(0.05, rel=0.2)
    assert channel["samples_per_cycle"] == pytest.approx(125, rel=0.1)
    assert (seen["rows"], seen["step_s"], seen["faults"], seen["whole"]) == (600, 0.01, [], True)
    assert len(seen["sha256"]) == 64


def test_the_plot_is_drawn_with_title_and_words_and_never_over_the_record(griplife, write, tmp_path):
    values = rows(channels=2)
    values[0, 300] += 300.0
    name = write(["Force [kN]", "<b>&[mm]"], values)
    shown = griplife("look", name, "--plot", "record.svg")
    assert "wrote record.svg" in shown.stderr
    root = ElementTree.fromstring((tmp_path / "record.svg").read_text(encoding="utf-8"))
    texts = [element.text for element in root if element.tag.endswith(("title", "desc"))]
    assert texts == ["Record record.csv", "Force, <b>& over time, 1 fault marked"]
    assert griplife("look", name, "--plot", name, "--force").exit_code == 2
    assert griplife("look", name, "--plot", "record.svg").exit_code == 2
    again = griplife("look", name, "--plot", "record.svg", "--force", "-q")
    assert (again.exit_code, again.stderr) == (0, "")


@pytest.mark.parametrize(
    "names",
    [
        [f"Channel {i} with quite a long name, as loggers give them [kN]".replace(",", "") for i in range(30)],
        ["x" * 300 + " [kN]"],
        ["\x1b[31mred\x1b[0m [kN]"],
        ["Kraft Öse µ → [kN]"],
        ['"[load] = 1 [kN]"'.replace('"', "'")],
    ],
    ids=["wide", "long", "escape", "letters", "like a key"],
)
def test_tricky_names_stay_within_the_columns_and_harmless(write, names):
    values = rows(count=200, channels=len(names))
    values[0, 100] += 9000.0
    seen = look_at(write(names, values))
    text = look_text(seen)
    paste = text.partition("To paste")[2]
    assert "\x1b" not in text and narrow(text.removesuffix(paste))
    assert len(seen["channels"]) == len(names)


def test_many_faults_are_shown_by_their_first_ones(griplife, write):
    values = np.minimum(rows(count=6000), 8.0)
    shown = griplife("look", write(["Force [kN]"], values))
    assert shown.stdout.count("stands at its limit") == 3
    assert "more like these; --json lists all" in shown.stdout


def test_a_record_that_is_too_long_is_looked_at_from_its_start(write, monkeypatch):
    monkeypatch.setattr("loadhistories.raw.MOST_VALUES", 300)
    seen = look_at(write(["Force [kN]"], rows()), block_size=2000)
    assert not seen["whole"] and 300 < seen["rows"] < 600
    assert seen["sha256"] is None
    assert "the first ones; the file holds more" in look_text(seen)


def test_options_of_the_dialect_are_taken(griplife, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    lines = [f"{i % 60:02d}.{i // 60:02d}|x" for i in range(5)]
    (tmp_path / "no.csv").write_text("\n".join(lines), encoding="utf-8")
    refused = griplife("look", "no.csv")
    assert refused.exit_code == 2 and "the input is refused" in refused.stderr
    text = "\n".join(f"{i},5;{i * i}" for i in range(40))
    (tmp_path / "plain.csv").write_text(f"Kraft;Weg\n{text}\n", encoding="utf-8")
    shown = griplife("look", "plain.csv", "--rate", "50 Hz", "--delimiter", ";", "--decimal", ",", "--column", "Kraft")
    assert shown.exit_code == 0, shown.stderr
    assert "one every 0.02 s (50 Hz)" in shown.stdout and "Weg" not in shown.stdout
