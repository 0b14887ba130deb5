"""What a door may do with an input: give a whole and finite result, or refuse it, in bounded time and memory."""

import json
import math
import resource
import signal
import threading
from contextlib import contextmanager

from loadhistories.validation import InputError

REFUSED = "refused"


class Finding(AssertionError):
    """A door did what it must not do."""


@contextmanager
def bounded(seconds: float):
    """Ends what takes longer, as a finding; works in the main thread."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return

    def late(signum, frame):
        raise Finding(f"took more than {seconds:g} s")

    before = signal.signal(signal.SIGALRM, late)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def limit_memory(megabytes: int) -> None:
    """Let this process have so much address space and no more; a door that wants more ends in MemoryError."""
    resource.setrlimit(resource.RLIMIT_AS, (megabytes << 20, resource.RLIM_INFINITY))


def outcome_of(door, *inputs, seconds: float = 20.0):
    """What a door gives, or REFUSED; anything else that it raises goes through."""
    with bounded(seconds):
        try:
            return door(*inputs)
        except InputError as refusal:
            problems = refusal.problems
    if not problems or not all(isinstance(text, str) and text.strip() for text in problems):
        raise Finding(f"refused without a reason: {problems!r}")
    if any("Traceback" in text or " object at 0x" in text for text in problems):
        raise Finding(f"the refusal shows the inside of the program: {problems!r}")
    return REFUSED


def require_sound(contract: dict) -> None:
    """Raise Finding where a contract says more than it shows, or holds a number that is none."""
    try:
        json.dumps(contract, allow_nan=False, ensure_ascii=False).encode("utf-8")
    except (TypeError, ValueError) as fault:
        raise Finding(f"the contract is no JSON: {fault}") from fault
    states = [joint["state"] for joint in contract["joints"]]
    if not states:
        raise Finding("a job without joints was assessed")
    if contract["state"] == "holds" and set(states) != {"holds"}:
        raise Finding(f"the job holds with joints {states}")
    for joint in contract["joints"]:
        _require_sound_joint(joint)


def _require_sound_joint(joint: dict) -> None:
    checks, details = joint["checks"], joint["details"]
    judged = [*checks, *details, *(joint.get("runway") or [])]
    if joint["state"] == "holds" and not judged:
        raise Finding(f"{joint['name']} holds without a check")
    if joint["state"] == "holds" and any(item["state"] != "holds" for item in judged):
        raise Finding(f"{joint['name']} holds with a check that does not")
    for check in checks:
        used = check["utilisation"]
        if check["state"] == "holds" and (used is None or not 0.0 <= used <= 1.0 + 1e-9):
            raise Finding(f"{check['title']} holds at a utilisation of {used}")
        if check["state"] == "fails" and used is not None and used <= 1.0:
            raise Finding(f"{check['title']} fails at a utilisation of {used}")
        if check["state"] == "not judged" and not check.get("reason"):
            raise Finding(f"{check['title']} is not judged and does not say why")
    for detail in details:
        damage = detail["damage"]
        if detail["state"] == "holds" and (damage is None or not 0.0 <= damage <= 1.0):
            raise Finding(f"{detail['name']} holds at a damage of {damage}")
        if damage is not None and not math.isfinite(damage):
            raise Finding(f"{detail['name']} has the damage {damage}")
