"""The command as the tests call it."""

import inspect

import pytest
from click.testing import CliRunner

from cli.main import main


@pytest.fixture
def griplife():
    """Runs the command in this process; the result has exit_code, stdout and stderr."""
    # Before click 8.2 the runner mixed both streams unless it was told not to.
    separate = {"mix_stderr": False} if "mix_stderr" in inspect.signature(CliRunner).parameters else {}
    return lambda *arguments: CliRunner(**separate).invoke(main, [str(argument) for argument in arguments])
