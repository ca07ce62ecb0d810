"""Layouts: where every member stands in each lined wall, for drawing it and for building it."""

from functools import partial

import marshmallow as ma

from service.api.fields import Flag, Id, Int, ListOf, Num, Part, Str
from service.api.schemas.family import Answer, answered, sometimes


class Frame(Answer):
    """Where the frame's front stands on this wall; the lines to snap on the floor."""

    x0_mm = answered(Num, "Left-hand end of the boarded face at the frame line.")
    x1_mm = answered(Num, "Right-hand end of the boarded face at the frame line.")
    channel_x0_mm = answered(Num, "Left-hand end of the channels.")
    channel_x1_mm = answered(Num, "Right-hand end of the channels.")
    finished_x0_mm = answered(Num, "Left-hand end of the finished face.")
    finished_x1_mm = answered(Num, "Right-hand end of the finished face.")
    offset_mm = answered(Num, "Masonry to the front of the channels: the line to snap.")
    finished_face_mm = answered(Num, "Masonry to the face of the boards.")
    left = answered(Str, "How the left-hand end is formed.")
    right = answered(Str, "How the right-hand end is formed.")
    right_runs_through = answered(Flag, "Whether this wall's boards run through at its right-hand corner.")


class Member(Answer):
    """A bar as it is cut, where it stands."""

    id = answered(Str, "Its id: room, wall, role and number, such as 1/2/stud-03.")
    label = answered(Str, "The same, to write on it.")
    role = answered(Str, "What it does in the wall.")
    component = answered(Str, "What it is cut from.")
    x_mm = answered(Num, "Centre line of an upright, left-hand end of a horizontal.")
    y_mm = answered(Num, "Its lower end or edge above the level line.")
    length_mm = answered(Int, "Its length, rounded down to whole mm.")
    direction = answered(Str, "up or along.")
    y_end_mm = sometimes(Num, "Height of the right-hand end, where it slopes.", allow_none=True)
    splay_start_deg = sometimes(Num, "Lean of the cut at its lower or left-hand end.")
    splay_end_deg = sometimes(Num, "Lean of the cut at its upper or right-hand end.")
    fold_marks_mm = sometimes(partial(ListOf, Int()), "Where to fold it, from its left-hand end.")
    joined_to = sometimes(Str, "The member it is spliced to.", allow_none=True)
    rules = sometimes(partial(ListOf, Str()), "The setting-out rules it follows from.")


class Bracket(Answer):
    """Holds a member off the wall."""

    id = sometimes(Str, "Its id.")
    x_mm = answered(Num, "From the wall's left-hand corner.")
    y_mm = answered(Num, "Above the level line.")
    member_id = answered(Str, "The member it holds.")
    rail_id = sometimes(Str, "The rail it stands on.")
    projection_mm = sometimes(Num, "From the rail's face to the back of the member.")
    rules = sometimes(partial(ListOf, Str()), "The setting-out rules it follows from.")


class CutOutShape(Answer):
    """A hole or notch, its origin from the piece's lower left corner."""

    x_mm = answered(Num, "From the piece's left edge.")
    y_mm = answered(Num, "From the piece's lower edge.")
    width_mm = answered(Num, "Its width.")
    height_mm = answered(Num, "Its height.")
    diameter_mm = sometimes(Num, "Of a round hole, which is stated as its square.", allow_none=True)
    feature_id = sometimes(Id, "The feature it is made for; null for an opening.", allow_none=True)
    rules = sometimes(partial(ListOf, Str()), "The setting-out rules it follows from.")


class FlatPiece(Answer):
    """A piece of board, lining, insulation or membrane as it is cut, and where it goes."""

    id = answered(Str, "Its id: room, wall, role and number, such as 1/2/board-04a.")
    label = answered(Str, "The same, to write on it.")
    role = answered(Str, "What it does in the wall.")
    component = answered(Str, "What it is cut from.")
    x_mm = answered(Num, "Its lower left corner from the wall's left-hand corner.")
    y_mm = answered(Num, "Its lower left corner above the level line.")
    width_mm = answered(Num, "Width of the rectangle it is cut from; of a lining, its depth.")
    length_mm = answered(Num, "Length of the rectangle it is cut from; of a lining, the edge it covers.")
    layer = answered(Int, "Layer of board, from the frame.")
    height_left_mm = answered(Num, "Height of its left-hand edge's top above its lower edge.")
    height_right_mm = answered(Num, "Height of its right-hand edge's top above its lower edge.")
    foot_left_mm = sometimes(Num, "How far above its lower edge the left-hand edge begins, over a sloping floor.")
    foot_right_mm = sometimes(Num, "How far above its lower edge the right-hand edge begins, over a sloping floor.")
    bevel_left_mm = sometimes(Num, "How much shorter the front is than the back, at the left.")
    bevel_right_mm = sometimes(Num, "How much shorter the front is than the back, at the right.")
    cut_outs = answered(partial(ListOf, Part(CutOutShape)), "Holes and notches.")
    area_m2 = answered(Num, "Its area less cut-outs and rakes.")
    outline_mm = sometimes(
        partial(ListOf, ma.fields.List(Num())), "Its corners as x, y from its lower left corner, where top or foot bends."
    )
    opening_id = sometimes(Id, "The opening that a lining belongs to.")
    rules = answered(partial(ListOf, Str()), "The setting-out rules it follows from.")


class Usage(Answer):
    """How much of a tape, bead, sealant, compound or screw something on this wall takes."""

    component = answered(Str, "The component.")
    where = answered(Str, "What it is for.")
    quantity = answered(Num, "How much.")
    unit = answered(Str, "Readable unit.")
    unit_code = answered(Str, "The same as a UN/ECE Recommendation 20 code.")
    terms = answered(Str, "The arithmetic, for a person to follow.")
    layer = answered(Int, "Layer of board it is for.")
    members = answered(partial(ListOf, Str()), "The pieces it serves.")
    rules = answered(partial(ListOf, Str()), "The setting-out rules it follows from.")


class Junction(Answer):
    """Where the lining meets something else; null: nothing is named there, and a finding says so."""

    kind = answered(Str, "What kind of junction.")
    fixing = answered(Str, "What fixes it.", allow_none=True)
    seal = answered(Str, "What seals it.", allow_none=True)
    trim = answered(Str, "What trims it.", allow_none=True)
    opening_id = answered(Id, "The opening, where it is at one.", allow_none=True)


class WallMeasures(Answer):
    """The wall as it was measured."""

    length_mm = answered(Num, "Its length.")
    height_left_mm = answered(Num, "Floor to ceiling at its left-hand end.")
    height_right_mm = answered(Num, "Floor to ceiling at its right-hand end.")
    floor_left_mm = answered(Num, "Floor above the level line at its left-hand end.")
    floor_right_mm = answered(Num, "Floor above the level line at its right-hand end.")


class Layout(Answer):
    """One lined wall."""

    room_id = answered(Id, "Its room.")
    wall_id = answered(Id, "The wall.")
    label = sometimes(Str, "Its place: room and wall, such as 1/2.")
    wall = sometimes(partial(Part, WallMeasures), "The wall as it was measured.")
    frame = answered(partial(Part, Frame), "Where the frame stands.")
    members = answered(partial(ListOf, Part(Member)), "Studs, rails, channels and trims.")
    brackets = answered(partial(ListOf, Part(Bracket)), "Brackets.")
    fixings = sometimes(partial(ListOf, ma.fields.Dict()), "Fixings, with the arithmetic of their number.")
    boards = answered(partial(ListOf, Part(FlatPiece)), "Boards.")
    reveals = answered(partial(ListOf, Part(FlatPiece)), "Linings of reveals.")
    insulation = answered(partial(ListOf, Part(FlatPiece)), "Strips of insulation.")
    membrane = answered(partial(ListOf, Part(FlatPiece)), "Drops and strips of membrane.")
    usages = answered(partial(ListOf, Part(Usage)), "Tapes, beads, sealant, compound, adhesive and board screws.")
    junctions = answered(partial(ListOf, Part(Junction)), "What fixes, seals and trims the lining where it meets something.")
    openings = answered(partial(ListOf, ma.fields.Dict()), "The wall's openings, as surveyed.")
    features = answered(partial(ListOf, ma.fields.Dict()), "The wall's features, as surveyed.")


class Layouts(Answer):
    """Every lined wall that has a layout, in survey order."""

    layouts = answered(partial(ListOf, Part(Layout)), "One a wall.")
