"""What every command keeps: 80 columns, help that names all, near words, quiet and verbose, streams, completion."""

from pathlib import Path

import pytest

from cli.main import COMMANDS, main

JOBS = Path(__file__).parent.parent / "jobs"


@pytest.mark.parametrize("command", COMMANDS)
def test_help_fits_80_columns_and_begins_with_a_sentence(griplife, command):
    shown = griplife(command, "--help")
    assert (shown.exit_code, shown.stderr) == (0, "")
    lines = shown.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert lines[2].strip()[0].isupper() and "Options:" in lines
    assert " TEXT" not in shown.stdout.replace("--column TEXT", "").replace("--missing TEXT", "") or command == "look"


@pytest.mark.parametrize("command", COMMANDS)
def test_every_option_says_what_it_is_for(command):
    params = main.get_command(None, command).params
    assert [item.name for item in params if item.param_type_name == "option" and not item.help] == []


@pytest.mark.parametrize(
    ("word", "says"),
    [("asess", "Did you mean 'assess'?"), ("table", "Did you mean 'tables'?"), ("xyz", "Commands: new, assess,")],
)
def test_an_unknown_command_is_refused_with_the_nearest_or_all(griplife, word, says):
    refused = griplife(word)
    assert refused.exit_code == 2
    assert f"No such command {word!r}. {says}" in refused.stderr


def test_an_unknown_option_is_refused_with_the_nearest(griplife):
    refused = griplife("assess", "job.toml", "--jsn", "-")
    assert refused.exit_code == 2 and "--json" in refused.stderr


def test_verbose_tells_how_it_was_read_and_adds_what_is_assumed(griplife):
    usual, verbose = (griplife("assess", JOBS / "bracket.toml", *more) for more in ((), ("-v",)))
    assert usual.stderr == ""
    assert "griplife: loaded running: bracket.csv, 6 samples in 0.06 s" in verbose.stderr
    assert "griplife: read and assessed in " in verbose.stderr
    assert verbose.stdout.startswith(usual.stdout)
    more = verbose.stdout.removeprefix(usual.stdout)
    assert "Assumed for joint end plate to column flange:" in more
    assert "Not yet confirmed in the source, for joint end plate to column flange:" in more
    assert max(map(len, more.splitlines())) <= 80


def test_quiet_and_verbose_do_not_go_together(griplife):
    refused = griplife("assess", JOBS / "bracket.toml", "-q", "-v")
    assert refused.exit_code == 2 and "-q and -v are both given" in refused.stderr


def test_quiet_leaves_results_alone_and_messages_out(griplife, tmp_path):
    loud = griplife("assess", JOBS / "bracket.toml", "--json", tmp_path / "a.json")
    quiet = griplife("assess", JOBS / "bracket.toml", "--json", tmp_path / "b.json", "-q")
    assert loud.stdout == quiet.stdout and "wrote" in loud.stderr and quiet.stderr == ""
    counted = griplife("count", JOBS / "bracket.csv", "--channel", "Vertical", "--csv", tmp_path / "c.csv", "-q")
    assert counted.exit_code == 0 and counted.stderr == ""


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_a_shell_gets_its_script(griplife, shell):
    shown = griplife("completion", shell)
    assert shown.exit_code == 0
    assert "_GRIPLIFE_COMPLETE" in shown.stdout and "griplife" in shown.stdout


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (("as",), {"assess"}),
        (("new", "crane"), {"crane-bracket"}),
        (("tables", "st"), {"steels"}),
        (("details", "--standard", "AS"), {"AS 4100"}),
        (("assess", "--verb"), {"--verbose"}),
    ],
)
def test_commands_options_and_words_are_completed(words, found):
    from click.shell_completion import ShellComplete

    completed = ShellComplete(main, {}, "griplife", "_GRIPLIFE_COMPLETE").get_completions(list(words[:-1]), words[-1])
    assert {item.value for item in completed} == found


def test_a_job_file_is_completed_as_a_file():
    from click.shell_completion import ShellComplete

    (item,) = ShellComplete(main, {}, "griplife", "_GRIPLIFE_COMPLETE").get_completions(["assess"], "br")
    assert (item.type, item.value) == ("file", "br")
