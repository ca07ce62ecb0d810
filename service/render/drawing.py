"""The drawing of one lined wall as SVG: what stands where, with running dimensions from the left corner and a scale bar.

Seen from inside the room, in wall millimetres, y up. Everything is told apart by line weight, dash and hatching, so that a
photocopy is as good as a screen: studs are outlined, jambs and ends hatched, short studs dotted; rails behind are dashed; board
joints are chain lines; cut-outs for openings are dotted, those for features drawn through; openings are crossed.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from service.render.drawing_pen import Pen
from service.vocabulary import HUNG, RAIL_ROLES, STUD_ROLES, Direction, Role

Json = Mapping[str, Any]

UPRIGHTS = frozenset({Role.CORNER_PROFILE, Role.STOP_END_CHANNEL})
HATCHED = frozenset({Role.END_STUD, Role.JAMB_STUD})


def wall_drawing(layout: Json, parameters: Json, *, title: str) -> bytes:
    """SVG of a wall.

    Args: layout: as `/layouts/{wall_id}` answers it; parameters: of the lining, for the studs' sizes; title: what stands above.
    """
    wall, frame = layout["wall"], layout["frame"]
    left = min(0.0, frame["x0_mm"], frame["channel_x0_mm"])
    right = max(wall["length_mm"], frame["x1_mm"], frame["channel_x1_mm"])
    low = min(wall["floor_left_mm"], wall["floor_right_mm"])
    high = max(wall["floor_left_mm"] + wall["height_left_mm"], wall["floor_right_mm"] + wall["height_right_mm"])
    pen = Pen(left, right, low, high)
    face = parameters["stud_face_mm"]
    _title(pen, layout, frame, title)
    _outline(pen, wall)
    _rails(pen, layout["members"], face)
    _uprights(pen, layout["members"], face, parameters["stud_depth_mm"])
    _boards(pen, layout["boards"])
    _openings(pen, layout["openings"])
    _cut_outs(pen, layout["boards"])
    _channels(pen, layout["members"])
    _brackets(pen, layout["brackets"], face)
    _features(pen, layout["features"])
    _dimensions(pen, layout, face)
    _key(pen)
    pen.scale_bar()
    return pen.svg().encode()


def _title(pen: Pen, layout: Json, frame: Json, title: str) -> None:
    pen.heading(
        title,
        f"frame line {frame['offset_mm']:g} off the masonry, finished face {frame['finished_face_mm']:g}; "
        f"left end {_words(frame['left'])}, right end {_words(frame['right'])}; dimensions in mm",
    )


def _outline(pen: Pen, wall: Json) -> None:
    length = wall["length_mm"]
    floor = (wall["floor_left_mm"], wall["floor_right_mm"])
    pen.polygon(
        [(0, floor[0]), (length, floor[1]), (length, floor[1] + wall["height_right_mm"]), (0, floor[0] + wall["height_left_mm"])],
        weight=4,
    )


def _openings(pen: Pen, openings: Sequence[Json]) -> None:
    for o in openings:
        x0, y0 = o["offset_mm"], o["sill_mm"]
        x1, y1 = x0 + o["width_mm"], y0 + o["height_mm"]
        pen.rectangle(x0, y0, x1, y1, weight=3, blank=True)
        pen.line(x0, y0, x1, y1, weight=0.5)
        pen.line(x0, y1, x1, y0, weight=0.5)
        pen.note((x0 + x1) / 2, (y0 + y1) / 2, _words(o["kind"]), backed=True)


def _rails(pen: Pen, members: Sequence[Json], face: float) -> None:
    for m in members:
        if m["role"] in RAIL_ROLES:
            behind = m["role"] != Role.SUPPORT_RAIL
            x, y, dash = m["x_mm"], m["y_mm"], "long" if behind else None
            pen.rectangle(x, y, x + m["length_mm"], y + face, weight=1, dash=dash)
            pen.note(m["x_mm"] + m["length_mm"] / 2, m["y_mm"] + face / 2, _short(m["label"]), small=True, backed=True)


def _uprights(pen: Pen, members: Sequence[Json], face: float, depth: float) -> None:
    for m in members:
        if m["direction"] != Direction.UP:
            continue
        wide = depth if m["role"] in UPRIGHTS else face
        x0, x1 = m["x_mm"] - wide / 2, m["x_mm"] + wide / 2
        y1 = m["y_mm"] + m["length_mm"]
        fill = "hatch" if m["role"] in HATCHED else "dots" if m["role"] == Role.SHORT_STUD else "plain"
        pen.rectangle(x0, m["y_mm"], x1, y1, weight=1.5, fill=fill)
        pen.note(m["x_mm"], m["y_mm"] + m["length_mm"] * 0.33, _short(m["label"]), turned=True, small=True, backed=True)


def _channels(pen: Pen, members: Sequence[Json]) -> None:
    """Floor and ceiling channels as heavy lines with ticks where pieces meet; trims with their folded returns."""
    for m in members:
        if m["direction"] != Direction.ALONG or m["role"] in RAIL_ROLES | STUD_ROLES:
            continue
        x0, y0 = m["x_mm"], m["y_mm"]
        y1 = m.get("y_end_mm", y0)
        x1 = x0 + (m["length_mm"] ** 2 - (y1 - y0) ** 2) ** 0.5
        if m["role"] == Role.JOINT_STRAP:
            pen.line(x0, y0, x1, y1, weight=2, dash="short")
            continue
        folds = m.get("fold_marks_mm") or []
        if folds and m["role"] in (Role.HEAD_TRIM, Role.SILL_TRIM):
            _trim(pen, m, folds)
        else:
            pen.line(x0, y0, x1, y1, weight=5)
            pen.tick(x0, y0)
            pen.tick(x1, y1)
        up = m["role"] in (Role.CEILING_CHANNEL, Role.HEAD_TRIM)
        pen.note((x0 + x1) / 2, (y0 + y1) / 2, _short(m["label"]), above=up, below=not up, small=True, backed=True)


def _trim(pen: Pen, m: Json, folds: Sequence[int]) -> None:
    """The bar as it lies, its ends turned along the jambs: up over a head, down under a sill."""
    y, away = m["y_mm"], 1 if m["role"] == Role.HEAD_TRIM else -1
    start, end = m["x_mm"], m["x_mm"] + m["length_mm"]
    first, last = m["x_mm"] + folds[0], m["x_mm"] + folds[-1]
    inner_left, inner_right = (
        (first, last) if len(folds) > 1 else (first, end) if folds[0] < m["length_mm"] / 2 else (start, first)
    )
    pen.line(inner_left, y, inner_right, y, weight=5)
    if inner_left > start:
        pen.line(inner_left, y, inner_left, y + away * (inner_left - start), weight=3)
    if inner_right < end:
        pen.line(inner_right, y, inner_right, y + away * (end - inner_right), weight=3)


def _boards(pen: Pen, boards: Sequence[Json]) -> None:
    """The innermost layer's pieces as chain lines, its cut-outs dotted, each with its label low in the left corner."""
    for b in boards:
        if b["layer"] > 1 or b["role"] != "board":
            continue
        x0, x1, y = b["x_mm"], b["x_mm"] + b["width_mm"], b["y_mm"]
        if "outline_mm" in b:
            pen.polygon([(x0 + x, y + up) for x, up in b["outline_mm"]], weight=1.2, dash="chain")
            pen.note((x0 + x1) / 2, y + pen.letter * 2.2, _short(b["label"]), backed=True)
            continue
        feet = (y + b.get("foot_left_mm", 0.0), y + b.get("foot_right_mm", 0.0))
        pen.polygon(
            [(x0, feet[0]), (x1, feet[1]), (x1, y + b["height_right_mm"]), (x0, y + b["height_left_mm"])],
            weight=1.2,
            dash="chain",
        )
        pen.note((x0 + x1) / 2, y + pen.letter * 2.2, _short(b["label"]), backed=True)


def _cut_outs(pen: Pen, boards: Sequence[Json]) -> None:
    """Holes round or square; of a notch the sides within the board alone, since joints and ends are drawn already."""
    for b in boards:
        for c in b["cut_outs"] if b["layer"] == 1 else ():
            if c["width_mm"] == c["height_mm"] == c["diameter_mm"]:
                x, y, half = b["x_mm"] + c["x_mm"], b["y_mm"] + c["y_mm"], c["diameter_mm"] / 2
                pen.circle(x + half, y + half, c["diameter_mm"], weight=1)
            else:
                for side in _sides_within(b, c):
                    pen.line(*side, weight=1, dash=None if c["feature_id"] else "dots")


def _sides_within(board: Json, cut: Json) -> list[tuple[float, float, float, float]]:
    left, foot = cut["x_mm"], cut["y_mm"]
    right, top = left + cut["width_mm"], foot + cut["height_mm"]
    x, y, wide, tall = board["x_mm"], board["y_mm"], board["width_mm"] - 0.2, board["length_mm"] - 0.2
    sides = (
        (left > 0, (left, foot, left, top)),
        (right < wide, (right, foot, right, top)),
        (foot > 0, (left, foot, right, foot)),
        (top < tall, (left, top, right, top)),
    )
    return [(x + x0, y + y0, x + x1, y + y1) for within, (x0, y0, x1, y1) in sides if within]


def _brackets(pen: Pen, brackets: Sequence[Json], face: float) -> None:
    for b in brackets:
        pen.block(b["x_mm"], b["y_mm"] + face / 2, face * 0.55)


def _features(pen: Pen, features: Sequence[Json]) -> None:
    """What hangs as its outline where its size is known, all by a cross at its middle and its name."""
    for f in features:
        if f["kind"] in HUNG and f["width_mm"] and f["height_mm"]:
            x, y, half, up = f["x_mm"], f["y_mm"], f["width_mm"] / 2, f["height_mm"] / 2
            pen.rectangle(x - half, y - up, x + half, y + up, weight=1, dash="short")
        pen.cross(f["x_mm"], f["y_mm"], 25)
        pen.note(f["x_mm"], f["y_mm"] + 60, f"{_words(f['kind'])} {f['x_mm']:g} / {f['y_mm']:g}", small=True, backed=True)


def _dimensions(pen: Pen, layout: Json, face: float) -> None:
    """Below: stud centre lines, running. Above: openings and board joints, running. At the right: rails, sills and heads."""
    studs = {round(m["x_mm"], 1) for m in layout["members"] if m["role"] in STUD_ROLES}
    pen.running_below(sorted({0.0, *studs, layout["wall"]["length_mm"]}), "stud centres")
    edges = {e for o in layout["openings"] for e in (o["offset_mm"], o["offset_mm"] + o["width_mm"])}
    joints = {round(b["x_mm"], 1) for b in layout["boards"] if b["role"] == "board" and b["layer"] == 1}
    pen.running_above(sorted({0.0, *edges, layout["wall"]["length_mm"]}), "openings", row=1)
    pen.running_above(sorted({*joints, round(layout["frame"]["x1_mm"], 1)}), "board joints", row=0)
    heights = {round(m["y_mm"], 1) for m in layout["members"] if m["role"] in RAIL_ROLES}
    heights |= {e for o in layout["openings"] for e in (o["sill_mm"], o["sill_mm"] + o["height_mm"])}
    pen.running_right(sorted({0.0, *heights}))


def _key(pen: Pen) -> None:
    pen.key(
        [
            ("end and jamb studs", lambda x, y: pen.swatch(x, y, "hatch")),
            ("studs", lambda x, y: pen.swatch(x, y, "plain")),
            ("short studs", lambda x, y: pen.swatch(x, y, "dots")),
            ("rails between studs", lambda x, y: pen.swatch(x, y, "none")),
            ("rails behind", lambda x, y: pen.stroke(x, y, "long", 1)),
            ("board joints", lambda x, y: pen.stroke(x, y, "chain", 1.2)),
            ("cut-outs at openings", lambda x, y: pen.stroke(x, y, "dots", 1)),
            ("channels and trims", lambda x, y: pen.stroke(x, y, None, 5)),
            ("brackets", lambda x, y: pen.swatch(x, y, "solid")),
        ]
    )


def _short(label: str) -> str:
    return label.rpartition("/")[2].replace("_", " ")


def _words(name: str) -> str:
    return name.replace("_", " ")
