"""What `-v` adds: how the loads of a job were read, and what was assumed or is not yet confirmed of each joint."""

from collections.abc import Iterator

from cli.symbols import plain_number
from cli.wrapping import wrapped


def told_of_loads(job) -> Iterator[str]:
    """A line for each load of a job that was read: where it comes from, how long it is, how often it occurs."""
    for load in job.every_load:
        block = load.block
        span = f"{plain_number(block.samples, 9)} samples"
        if block.timed:
            span += f" in {plain_number(block.span, 5)} s"
        yield f"{load.name}: {load.origin}, {span}, {load.occurrence.per_life}"


def more_of(contract: dict) -> str:
    """The assumptions and the values not yet confirmed, as text of 80 columns; "" where there are none."""
    lines: list[str] = []
    parts = [("the job", contract), *((f"joint {joint['name']}", joint) for joint in contract["joints"])]
    for name, part in parts:
        for title, texts in (
            (f"Assumed for {name}:", part.get("assumptions") or []),
            (f"Not yet confirmed in the source, for {name}:", part.get("unconfirmed") or []),
        ):
            if texts:
                lines += ["", *wrapped(title)]
                lines += [line for text in texts for line in wrapped(text, "  - ", "    ")]
    return "\n".join(lines) + "\n" if lines else ""
