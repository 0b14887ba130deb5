"""Schema of the loads of a job: records, counted cycles, events, cleaning, earlier duty, sequences."""

from cli.job_cleaning import DRIFTS
from cli.job_counted import KINDS as COUNTED
from cli.job_loads import KINDS
from cli.schema.cranes import crane_load
from cli.schema.machines import machine_load
from cli.schema.parts import (
    NUMBER,
    Node,
    any_text,
    boolean,
    choice,
    either,
    number,
    pattern,
    quantity,
    table,
    tables,
    text,
    texts,
    whole,
)
from fatigue.stated_duty import PERIODS
from loadhistories.blocks import COMPONENTS
from loadhistories.counted import VALUES
from loadhistories.strain import BRIDGES

OCCURS = 'How often: "16 h/day" (a share of time), "40/day", "6000 h/year", "16 h/day, 250 day/year", "200000"'
SOURCES = ("history", "counted", "events", "crane", "machine")
_ANY_QUANTITY = rf"^\s*{NUMBER}(\s*[^\s0-9].*)?$"


def load() -> Node:
    """One [[load]]."""
    keys = {
        "name": text("Name of this kind of working", "loaded running"),
        "joint": text("Name of the only joint that it acts on; without it, it acts on all", "bracket plate"),
        "kind": choice(KINDS, "Working that rules out bolts without preload"),
        **_record_keys(),
        "crane": crane_load(),
        "machine": machine_load(),
        "counted": _counted(),
        "events": _events(),
    }
    return table(
        "One kind of working: a record, or what a history is made of; damage adds over the loads",
        keys, required=("name", "components"), one_of=tuple((key,) for key in SOURCES),
    )  # fmt: skip


def past() -> Node:
    """One [[past]]."""
    keys = {
        "name": text("Name of the earlier duty", "first plant"),
        "joint": text("Name of the only joint that served it; without it, all did", "bracket plate"),
        "kind": choice(KINDS, "Working that rules out bolts without preload"),
        "served": quantity("s", "How long it lasted", "12 year"),
        "damage": table(
            "Damage that the earlier duty did, by the name of each detail", {},
            others=number("Damage of this detail, 0 where it did none", 0.2, least=0.0),
        ),
        "because": text("Where the given damage comes from", "assessment of 2012, recorded duty"),
        **_record_keys(),
        "crane": crane_load(),
        "machine": machine_load(),
        "counted": _counted(),
        "events": _events(),
    }  # fmt: skip
    return table(
        "What a joint has served before: a record of it, or the damage that it did",
        keys, required=("name", "served"), one_of=(("damage",), *((key,) for key in SOURCES)),
    )  # fmt: skip


def sequence() -> Node:
    """One [[sequence]]."""
    keys = {
        "name": text("Name of the sequence", "fill and empty"),
        "order": texts("Names of the loads in the order in which they follow one another", "silo filled", "silo empty"),
        "occurs": text("How often the whole sequence occurs, a number of times", "2/day"),
    }
    return table("Loads that follow one another make cycles that none of them holds", keys, required=tuple(keys))


def _record_keys() -> dict[str, Node]:
    return {
        "history": text(
            "Record beside the job file: text, .gz of it, Parquet, Arrow, .npy, MAT, HDF5, TDMS, MDF4", "record.csv"
        ),
        "occurs": text(OCCURS, "16 h/day"),
        "components": table(
            "Which columns make which component of the load, at the middle of the bolts; +Fz pulls the plates apart",
            {name: _component(name) for name in COMPONENTS},
        ),
        "file": _file(),
        "clean": _clean(),
        "scale": number("Factor on the whole record; needs represents", 1.1, above=0.0),
        "represents": text("What the scaled record then stands for", "the heaviest grab, 10 % above the recorded one"),
        "stated_duty": _stated_duty(),
    }


def _component(name: str) -> Node:
    kind = "Force" if name[0] == "F" else "Moment"
    says = f"{kind} {'along' if name[0] == 'F' else 'about'} {name[1]} from a column, or from several that add up"
    keys = {
        "column": text("Name of the column in the record", "Vertical"),
        "unit": text("Its unit, where the file states none", "kN"),
        "factor": either(
            "Number or quantity that the column is multiplied with: a lever makes a moment of a force",
            number("Factor", 1.5),
            pattern(_ANY_QUANTITY, "Factor with its unit", "0.32 m"),
        ),
        "sign": choice(("+", "-"), "- turns the column round"),
        "strain": _strain(),
    }
    item = table(says, keys, required=("column",))
    return either(says, item, tables(item, required=True))


def _strain() -> Node:
    keys = {
        "E": quantity("MPa", "Modulus of elasticity", "210 GPa"),
        "gauge_factor": number("Of the gauge", 2.08, above=0.0),
        "set_to": number("Gauge factor that the amplifier was set to", 2.0, above=0.0),
        "bridge": either(
            "Bridge, or the strain shown over that of one gauge",
            choice(BRIDGES, "Bridge"),
            number("Strain shown over that of one gauge", 2.6, above=0.0),
        ),
    }
    return table(
        "The column holds a strain; factor is then an area, or a section modulus for a moment",
        keys, required=("E", "gauge_factor", "set_to"),
    )  # fmt: skip


def _file() -> Node:
    keys = {
        "delimiter": any_text("Between cells", ";"),
        "decimal": any_text("Decimal mark", ","),
        "time_column": any_text('Name of the time column; "" if its stamps are not to be read', "Time"),
        "rate": any_text("Sampling rate of a record without a time column", "100 Hz"),
        "step": any_text("Time from sample to sample instead of the rate", "10 ms"),
        "encoding": any_text("Of the text", "utf-8"),
        "date_format": any_text("Of stamps that are not ISO 8601", "%d/%m/%Y %H:%M:%S"),
        "group": any_text("Group of channels, where the file holds several", "Run 1"),
        "header_line": whole("Line of the names, counted from 1", 4),
        "names": texts("Names of the columns, where the file has none", "Time", "Vertical"),
        "missing": texts("Texts that mark a missing value", "n/a"),
        "units": table("Units of columns, where the file states none", {}, others=text("Unit of this column", "kN")),
    }
    return table("How a file is laid out, where it leaves that open", keys)


def _clean() -> Node:
    own = table("What differs for one channel", _of_channel())
    keys = {
        "stamps": choice(("even",), "Late stamps of even samples are set right"),
        "repeated": choice(("drop",), "Rows that repeat the one before are left out"),
        "breaks": choice(("join",), "Parts before and after a gap are counted one after the other"),
        "missing": either(
            "What becomes of missing values",
            choice(("cut",), "Rows with missing values are left out"),
            table("Short gaps are bridged", {
                "bridge": quantity("s", "Longest gap that is bridged by a straight line", "0.03 s"),
                "cut": boolean("Longer gaps are left out"),
            }, required=("bridge",)),
        ),
        "stuck": choice(("cut",), "Rows in which a sensor is stuck are left out"),
        **_of_channel(),
        "channel": table("What differs for single channels, by their names", {}, others=own),
    }  # fmt: skip
    return table("Treatments of a record, made in a fixed order; what is not named is not done", keys)


def _of_channel() -> dict[str, Node]:
    none = choice(("none",), "Not treated")
    return {
        "spikes": either(
            "Samples that stand out of their neighbours",
            none,
            table("Spikes become the line between their neighbours", {
                "window": quantity("s", "Width of the running median", "0.07 s"),
                "above": text("How far from the median a spike stands", "8 times the median deviation", "50 kN"),
            }, required=("window", "above")),
        ),
        "steps": either("Jumps of the zero", none, texts("Times of jumps of the zero", "123.4 s")),
        "drift": either(
            "Slow change of the level",
            none,
            table("Drift is taken away", {
                "method": choice(DRIFTS, "How the drift is found"),
                "window": quantity("s", "Width of the running median", "600 s"),
            }, required=("method",)),
        ),
        "zero": text("Zero of the channel: a value, or the level at rest", "level at rest", "-0.3 kN"),
        "gate": text("Smaller cycles are not counted", "6 times the noise", "0.5 kN"),
    }  # fmt: skip


def _stated_duty() -> Node:
    keys = {
        "channel": text("Column that is compared", "Vertical"),
        "unit": text("Its unit, where the file states none", "kN"),
        "cycles": number("Cycles in the period", 120, above=0.0),
        "per": choice(PERIODS, "Period"),
        "above": text("Cycles of at least this range count, a quantity of the channel's kind", "50 kN"),
        "tolerance": quantity("", "How far the record may differ", "20 %"),
    }
    required = ("channel", "cycles", "per", "above", "tolerance")
    return table("Duty stated by the user, compared with the cycles that the record holds", keys, required=required)


def _counted() -> Node:
    keys = {
        "file": text("Table of the cycles, beside the job file", "cycles.csv"),
        "kind": choice(COUNTED, "What the table holds"),
        "range": text("Column of the ranges", "Range"),
        "mean": text("Column of the means; of kind ranges: the mean of all cycles", "Mean"),
        "from": text("Column of the starts", "From"),
        "to": text("Column of the ends", "To"),
        "level": text("Column of the levels", "Level"),
        "count": text("Column of the numbers of cycles", "Cycles"),
        "lowest": pattern(_ANY_QUANTITY, "Of kind ranges: load from which every cycle starts", "0 kN"),
        "unit": text("Unit of the table, where it states none", "kN"),
        "values": choice(VALUES, "Where in its class a value stands"),
        "class_width": pattern(_ANY_QUANTITY, "Width of the classes, which count outwards", "2 kN"),
        "entries": choice(("cycles", "half cycles"), "What an entry counts"),
        "crossings": choice(("upwards", "both ways"), "Which crossings of a level are counted"),
        "covers": quantity("s", "Time in which the cycles were counted", "7 day"),
    }
    return table("Cycles counted elsewhere; all components follow the channel Load", keys,
                 required=("file", "kind", "covers"))  # fmt: skip


def _events() -> Node:
    keys = {
        "file": text("List of a crane's load monitor, beside the job file", "lifts.csv"),
        "time": text("Column of the times", "Start"),
        "load": text("Column of the loads", "Load"),
        "duration": text("Column of the durations", "Duration"),
        "idle": text("Load between two lifts", "5 kN"),
        "covers": quantity("s", "Time that the list covers; else until the end of the last lift", "30 day"),
        "step": quantity("s", "Time between two samples", "5 s"),
    }
    return table("Lifts, each held and back at the idle load before the next", keys,
                 required=("file", "time", "load", "duration", "idle"))  # fmt: skip
