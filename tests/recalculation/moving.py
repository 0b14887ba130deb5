"""Second calculation, part three: how far a slipped part goes within its holes, by search. Plain geometry."""

import itertools
import math

from counting import quantity
from statics import smallest_on


def room(group, play, rotation):
    """Corners of the room in which the part may shift at a rotation: discs around every bolt's own shift. [mm]"""
    centres = [(rotation * y, -rotation * x) for x, y in group["places"]]

    def inside(point):
        return all(math.hypot(point[0] - a, point[1] - b) <= play * (1 + 1e-12) + 1e-13 for a, b in centres)

    corners = []
    for (ax, ay), (bx, by) in itertools.combinations(centres, 2):
        apart = math.hypot(bx - ax, by - ay)
        if 0 < apart <= 2 * play:
            half = math.sqrt(max(play**2 - apart**2 / 4, 0.0))
            for sign in (1, -1):
                aside = sign * half / apart
                point = ((ax + bx) / 2 - aside * (by - ay), (ay + by) / 2 + aside * (bx - ax))
                if inside(point):
                    corners.append(point)
    return centres, corners, inside


def farthest(group, play, rotation, score, directions):
    """The point of the room with the largest score, among corners and the rims along some directions."""
    centres, corners, inside = room(group, play, rotation)
    points = corners + [
        (a + play * ux, b + play * uy) for a, b in centres for ux, uy in directions(a, b)
        if inside((a + play * ux, b + play * uy))
    ]
    return max(((score(point), point) for point in points), default=(-math.inf, None))


def largest_rotation(group, play):
    """Play over the radius of the smallest circle around the bolts, which stand in a rectangle. [rad]"""
    return play / math.hypot((group["columns"] - 1) * group["gauge"] / 2, (group["rows"] - 1) * group["pitch"] / 2)


def travel(group, play, point):
    """Largest displacement of a point, by search over the rotation. [mm]"""
    top, (px, py) = largest_rotation(group, play), point

    def best(rotation):
        sx, sy = rotation * py, -rotation * px  # the point stands still for the shift (sx, sy)

        def rim(a, b):
            away = math.hypot(a - sx, b - sy)
            return [((a - sx) / away, (b - sy) / away)] if away else [(1.0, 0.0)]

        return farthest(group, play, rotation, lambda shift: math.hypot(shift[0] - sx, shift[1] - sy), rim)[0]

    steps = 400
    marks = [best(top * i / steps) for i in range(steps + 1)]
    peak = max(range(steps + 1), key=lambda i: marks[i])
    low, high = top * max(peak - 1, 0) / steps, top * min(peak + 1, steps) / steps
    return max(marks[peak], -smallest_on(lambda rotation: -best(rotation), low, high)[0])


def driven(group, play, point, load):
    """Where a load drives the part: the motion in which it does the most work. (shift x, shift y, rotation)"""
    fx, fy, moment = load[0], load[1], load[5]
    force = math.hypot(fx, fy)
    top = largest_rotation(group, play)

    def at(rotation):
        return farthest(group, play, rotation, lambda shift: fx * shift[0] + fy * shift[1],
                        lambda a, b: [(fx / force, fy / force)])

    def work(rotation):
        return at(rotation)[0] + moment * rotation

    rotation = smallest_on(lambda value: -work(value), -top, top)[1]
    ends = [value for value in (-top, top, rotation) if at(value)[1] is not None]
    rotation = max(ends, key=work)
    shift = at(rotation)[1]
    return shift, rotation, (shift[0] - rotation * point[1], shift[1] + rotation * point[0])


def push_back(cases, shift, rotation):
    """The load that does the most work against a motion."""
    work, load = min(((case[2][0] * shift[0] + case[2][1] * shift[1] + case[2][5] * rotation, case[2])
                      for case in cases), key=lambda item: item[0])
    return load if work < 0 else None


def motion_shown(motion):
    shift, rotation, place = motion
    return {"x_mm": shift[0], "y_mm": shift[1], "rotation_mrad": 1e3 * rotation, "point_x_mm": place[0],
            "point_y_mm": place[1]}


def movement_shown(group, play, alignment, both, cases, *, slipped, level):
    """The movement part of the contract."""
    point = tuple(quantity(value) for value in alignment["point"])
    largest = travel(group, play, point)
    shown = {"travel_mm": play, "rotation_mrad": 1e3 * largest_rotation(group, play),
             "point": {"x_mm": point[0], "y_mm": point[1]}, "at_point_mm": largest, "at_point_worst_mm": 2 * largest,
             "tolerance_mm": quantity(alignment["tolerance"]), "play_mm": play, "driven": []}
    for of_level, of in zip(both, cases, strict=True):
        _, _, (_, time, load), _ = of_level["found"]
        forward = driven(group, play, point, load)
        length = math.hypot(*forward[2])
        item = {"time_s": time, "forward_mm": length, "worst_start_mm": 2 * length, "between_mm": 2 * length,
                "forward": motion_shown(forward)}
        against = push_back(of, *forward[:2]) if slipped else None
        if against:
            back = driven(group, play, point, against)
            item |= {"back_mm": math.hypot(*back[2]), "back": motion_shown(back), "between_mm": math.hypot(
                forward[2][0] - back[2][0], forward[2][1] - back[2][1])}
        shown["driven"].append(item)
    chosen = shown["driven"][level]
    shown |= {"driven_mm": chosen["forward_mm"], "driven_worst_start_mm": chosen["worst_start_mm"]}
    return shown | {"driven_back_mm": chosen["back_mm"]} if "back_mm" in chosen else shown
