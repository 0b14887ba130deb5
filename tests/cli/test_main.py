"""The command itself: light to import, refusals and faults as exit codes, help."""

import subprocess
import sys

import click
import pytest

import cli.main
from loadhistories.validation import InputError

HEAVY = ("numpy", "pint", "scipy", "pyarrow", "matplotlib", "numba", "typst", "rainflow")


@pytest.fixture
def failing(griplife, monkeypatch):
    """Adds a subcommand `fail` that raises what it is given."""

    def add(error):
        @click.command()
        def fail():
            raise error

        monkeypatch.setitem(cli.main.COMMANDS, "fail", "tests_made_this_module")
        monkeypatch.setitem(sys.modules, "tests_made_this_module", type(sys)("tests_made_this_module"))
        sys.modules["tests_made_this_module"].fail = fail
        return griplife("fail")

    return add


def heavy_modules_after(code):
    tell = f"import sys; print([name for name in {HEAVY!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", f"{code}; {tell}"], capture_output=True, text=True, check=True)
    return done.stdout.splitlines()[-1]


def test_importing_the_command_loads_nothing_heavy():
    assert heavy_modules_after("import cli.main") == "[]"


def test_help_loads_nothing_heavy():
    code = "import cli.main; cli.main.main(['--help'], standalone_mode=False)"
    assert heavy_modules_after(code) == "[]"


def test_help_names_every_subcommand_and_the_exit_codes(griplife):
    shown = griplife("-h")
    assert shown.exit_code == 0
    for words in ("assess", "count", "details", "demo", "Exit codes", "--version"):
        assert words in shown.stdout
    assert max(map(len, shown.stdout.splitlines())) <= 80


@pytest.mark.parametrize(
    ("command", "options"),
    [
        ("assess", ("--json", "--note", "--force", "--verify", "--quiet", "--no-color")),
        ("count", ("--channel", "--rate", "--bins", "--csv")),
        ("details", ("--standard",)),
        ("look", ("--plot", "--json", "--column", "--rate", "--date-format", "--missing", "--force", "--quiet")),
        ("demo", ("FOLDER", "--force")),
    ],
)
def test_help_of_a_subcommand_names_its_options(griplife, command, options):
    shown = griplife(command, "--help")
    assert shown.exit_code == 0
    assert [option for option in options if option not in shown.stdout] == []
    assert max(map(len, shown.stdout.splitlines())) <= 80


def test_version_is_told(griplife):
    shown = griplife("--version")
    assert shown.exit_code == 0
    assert shown.stdout.startswith("griplife ")


@pytest.mark.parametrize(
    "arguments", [["asess"], ["assess"], ["assess", "a", "--jsn", "b"], ["count", "a", "--bins", "0"]]
)
def test_a_wrong_call_exits_with_2(griplife, arguments):
    shown = griplife(*arguments)
    assert shown.exit_code == 2
    assert "Usage:" in shown.stderr


def test_a_refusal_prints_its_problems_a_line_each_and_exits_with_2(failing):
    shown = failing(InputError("pitch has no unit (a.toml, pitch)", "rows must be at least 1 (a.toml, rows)"))
    assert shown.exit_code == 2
    assert shown.stdout == ""
    assert shown.stderr.splitlines() == [
        "griplife: the input is refused, 2 problems:",
        "  pitch has no unit (a.toml, pitch)",
        "  rows must be at least 1 (a.toml, rows)",
    ]


def test_a_fault_of_our_own_says_what_to_report_and_exits_with_70(failing):
    shown = failing(ZeroDivisionError("division by zero"))
    assert shown.exit_code == 70
    assert shown.stdout == ""
    for words in ("a fault of griplife, not of your input", "ZeroDivisionError: division by zero", "test_main.py"):
        assert words in shown.stderr
    assert "Traceback" not in shown.stderr


def test_the_traceback_of_a_fault_is_shown_when_asked_for(failing, monkeypatch):
    monkeypatch.setenv("GRIPLIFE_TRACEBACK", "1")
    shown = failing(KeyError("lost"))
    assert shown.exit_code == 70
    assert "Traceback (most recent call last)" in shown.stderr


def test_an_interrupted_run_exits_with_130(failing):
    shown = failing(KeyboardInterrupt())
    assert shown.exit_code == 130
    assert shown.stderr == "griplife: stopped\n"


def test_a_closed_pipe_ends_the_run_without_a_word():
    code = "from cli.main import main; main(['details'])"
    process = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    process.stdout.close()
    told = process.stderr.read()
    process.stderr.close()
    assert process.wait() == 141
    assert told == ""


@pytest.mark.parametrize(
    ("option", "environment", "terminal", "coloured"),
    [(False, "", True, True), (True, "", True, False), (False, "1", True, False), (False, "", False, False)],
)
def test_colour_is_for_terminals_and_only_if_nobody_objects(monkeypatch, option, environment, terminal, coloured):
    monkeypatch.setenv("NO_COLOR", environment)
    monkeypatch.setattr(sys.stdout, "isatty", lambda: terminal)
    assert cli.main.wants_colour(option) is coloured
