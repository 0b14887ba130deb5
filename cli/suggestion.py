"""The treatments that would do for the faults of a record, as lines to paste into a job file."""

import json

from loadhistories.cleaning import Findings
from loadhistories.raw import RawRecord
from loadhistories.spikes import HALF_WINDOW, TIMES

_MOST_TIMES = 20
_PLAIN = {
    "uneven stamps": 'stamps = "even"',
    "repeated row": 'repeated = "drop"',
    "break in time": 'breaks = "join"',
    "missing value": 'missing = "cut"',
    "marker": 'missing = "cut"',
    "stuck": 'stuck = "cut"',
}
_ASK = "# only if this change of the level is no real load:"


def suggestion(findings: Findings, raw: RawRecord) -> str:
    """TOML for a [[load]]; "" where nothing that was found has a treatment.

    What may be a real load as well (steps, drift) is given as a comment.
    """
    kinds = {fault.kind for fault in findings.faults}
    lines = list(dict.fromkeys(line for kind, line in _PLAIN.items() if kind in kinds))
    if "spike" in kinds:
        window = (2 * HALF_WINDOW + 1) * raw.step
        lines.append(f'spikes = {{ window = "{window:.6g} s", above = "{TIMES:g} times the median deviation" }}')
    tables = []
    for name in raw.names:
        own = _of_channel(findings, name)
        if own:
            tables += ["", f"[load.clean.channel.{_quoted(name)}]", *own]
    if not lines and not tables:
        return ""
    marks = sorted({f"{fault.value / _scale(raw, fault.channel):g}" for fault in findings.of("marker")})
    file = ["[load.file]", f"missing = [{', '.join(_quoted(mark) for mark in marks)}]", ""] if marks else []
    noisy = [item for item in findings.channels if item.noise > 0.0]
    if noisy:
        lines += ["# cycles below it are not counted:", '# gate = "6 times the noise"']
    return "\n".join([*file, "[load.clean]", *lines, *tables]) + "\n"


def _of_channel(findings: Findings, name: str) -> list[str]:
    """Treatments of the level of one channel, as comments."""
    steps = [fault for fault in findings.of("step") if fault.channel == name][:_MOST_TIMES]
    lines = []
    if steps:
        times = ", ".join(f'"{fault.time:.6g} s"' for fault in steps)
        lines += [_ASK, f"# steps = [{times}]"]
    if any(fault.channel == name for fault in findings.of("drift")):
        lines += [_ASK, '# drift = { method = "running median", window = "600 s" }']
    return lines


def _scale(raw: RawRecord, channel: str) -> float:
    return raw.scales[raw.names.index(channel)]


def _quoted(text: str) -> str:
    """A text as TOML writes it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
