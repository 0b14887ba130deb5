"""When slip is not allowed: rules over the job's own data that ask for grip, whatever the user has said of it."""

from collections.abc import Iterator

Finding = tuple[str, str, tuple[str, ...]]
LARGE = ("oversize", "short slot", "long slot")
SHAKEN = {"vibration": "under-vibration", "impact": "under-impact"}
NEGLIGIBLE = 1e-9
DEVIATION = 'slip = "allowed" is a stated deviation from the clause that the engineer answers for'


def large_holes(findings) -> Iterator[Finding]:
    """Oversize or slotted holes in a joint whose slip is not ruled out."""
    outcome = findings.slip
    if outcome is None:
        return
    joint = outcome.joint
    kinds = [kind for kind in LARGE if kind in {joint.holes, *(plate.holes for plate in joint.plates)}]
    if not kinds or (joint.preloaded and joint.slip != "allowed"):
        return
    move = findings.movement
    reach = "" if move is None or move.play is None else f": it can move {move.translation:.3g} mm at a bolt"
    yield (
        "large-holes-without-grip",
        f"{' and '.join(kinds)} holes ask for a joint that does not slip, and here nothing rules slip out{reach}; "
        f"{_why(joint)}",
        ('preloaded bolts and slip = "not in service" or "never"', "normal holes, or slots across the load only"),
    )


def aligned_point(findings) -> Iterator[Finding]:
    """A point whose place matters, in a joint that may slip."""
    outcome = findings.slip
    if outcome is None or outcome.joint.alignment is None or outcome.joint.slip != "allowed":
        return
    aligned = outcome.joint.alignment
    yield (
        "alignment-with-slip-allowed",
        f"a point of the part has to stay within {aligned.tolerance:.3g} mm, which is a reason why slip is not "
        f"acceptable; {DEVIATION}",
        ('slip = "never"', "dowels or fitted bolts that hold the place"),
    )


def bolts_with_welds(findings) -> Iterator[Finding]:
    """Bolts that share the load with welds, or were meant to."""
    beside = findings.beside
    if beside is None:
        return
    if not beside.shared:
        text = "bolts and welds are meant to carry together, which is not judged: each was judged alone"
        mend = 'let the welds carry everything (carried_by = "welds"), or bring about what the clause asks'
        yield "bolts-with-welds", text, (mend,)
        return
    yield (
        "bolts-with-welds",
        "bolts and welds share the load: the weld shrinks and may move the plates and ease the bolts; the strength "
        "holds only for what was stated of tightening and loading",
        ("write the order of welding and final tightening into the drawing", "keep heat away from the bolts"),
    )


def shaken(findings) -> Iterator[Finding]:
    """Vibration or impact in the description of a load, on bolts that may slip or come loose."""
    outcome = findings.slip
    if outcome is None:
        return
    joint = outcome.joint
    for kind, code in SHAKEN.items():
        names = [record.name for record in findings.records if record.kind == kind]
        if not names or (joint.preloaded and joint.slip != "allowed" and not outcome.slips_in_service):
            continue
        loads = " and ".join(repr(name) for name in names)
        yield (
            code,
            f"{loads} brings {kind}, under which a joint in shear must not slip in service; {_why(joint)}",
            ("preloaded bolts that grip, or others that cannot move: fitted or injection bolts, rivets, a weld",),
        )


def weld_without_fatigue(findings) -> Iterator[Finding]:
    """Welds judged for strength, but no detail of the joint for fatigue."""
    if findings.welded and not findings.details:
        yield (
            "weld-without-fatigue",
            "the welds are judged for strength alone: under repeated load their toes and root crack long before that",
            ("add a detail for the toe and one for the root, as in stress = { weld = … }",),
        )


def less_prying_in_fatigue(findings) -> Iterator[Finding]:
    """Bolts in tension whose fatigue is judged with less prying than the flange of the joint brings."""
    outcome = findings.slip
    if outcome is None or outcome.joint.flange is None:
        return
    factor = outcome.joint.prying_factor
    for item in findings.details:
        recipe = item.detail.recipe
        parts = [part for working in (recipe.working, *recipe.workings) for part in working]
        stated = max((part.prying for part in parts if hasattr(part, "per_Fz")), default=None)
        if stated is not None and stated < factor * (1.0 - NEGLIGIBLE):
            yield (
                "less-prying-in-fatigue",
                f"{item.detail.name}: its bolts are judged with a prying factor of {stated:.4g}, their strength "
                f"with {factor:.4g}; an elastic flange pries under small ranges as well",
                ('prying = "joint" in the stress of the detail',),
            )


TRIGGERS = (large_holes, aligned_point, shaken, bolts_with_welds, weld_without_fatigue, less_prying_in_fatigue)


def _why(joint) -> str:
    if not joint.preloaded:
        return "the bolts are not preloaded and do not grip" + (f"; {DEVIATION}" if joint.slip == "allowed" else "")
    return DEVIATION if joint.slip == "allowed" else "it slips in service"
