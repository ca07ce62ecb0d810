"""Cut lists: every bar with its cuts, and the proof of how good the plan is."""

from functools import partial

import marshmallow as ma

from service.api.fields import Flag, Id, Int, ListOf, Num, Part, Str
from service.api.schemas.family import Answer, answered, sometimes
from service.api.schemas.layouts import CutOutShape
from service.api.schemas.money import Money


class Cut(Answer):
    """One piece cut from a bar."""

    label = answered(Str, "What to write on it.")
    member_id = answered(Str, "The member it is.")
    role = answered(Str, "What it does in the wall.")
    length_mm = answered(Int, "Its length.")
    splay_start_deg = sometimes(Num, "Lean of the cut at its lower or left-hand end, where it is not square.")
    splay_end_deg = sometimes(Num, "Lean of the cut at its upper or right-hand end, where it is not square.")
    fold_marks_mm = sometimes(partial(ListOf, Int()), "Where to fold it, from its left-hand end.")
    room_id = answered(Id, "Its room.")
    wall_id = answered(Id, "Its wall.")


class Bar(Answer):
    """One bar and how it is cut."""

    bar = answered(Int, "Its number in this list.")
    pattern = answered(Int, "Bars cut alike share this number.")
    stock_length_mm = answered(Int, "Its length before cutting.")
    sku = answered(Str, "Article number; null in the built-in range.", allow_none=True)
    from_offcut_id = answered(Id, "The kept offcut it is; null: a new bar.", allow_none=True)
    cuts = answered(partial(ListOf, Part(Cut)), "Its cuts, in order.")
    remainder_mm = answered(Int, "What is left.")
    reusable = answered(Flag, "Whether the remainder is worth keeping.")


class Measure(Answer):
    """A plan's size in the unit of its objective."""

    stock_mm = sometimes(Int, "Length of stock, where the objective is length.")
    count = sometimes(Int, "Sheets or rolls, where the objective is their number.")
    price = sometimes(partial(Part, Money), "Price of stock, where the objective is price.")


class Unplaced(Cut):
    """A member that no stock is long enough for; a finding says so too."""


class BarCutList(Answer):
    """The bars of one component."""

    component = answered(Str, "The component.")
    room_id = sometimes(Id, "The room, where bars are not shared between rooms.", allow_none=True)
    objective = answered(Str, "What was made small: length or price.")
    kerf_mm = answered(Int, "Width of a saw cut.")
    status = answered(Str, "optimal: proven best; bounded: a proven bound below it; heuristic: a plan without a proof.")
    lower_bound = answered(partial(Part, Measure), "No plan can do with less than this.")
    used = answered(partial(Part, Measure), "What this plan uses; offcuts count for nothing.")
    certificate = answered(
        partial(ma.fields.Dict, keys=ma.fields.String()), "Lets anyone prove the bound again; null: none.", allow_none=True
    )
    bars = answered(partial(ListOf, Part(Bar)), "The bars.")
    unplaced = answered(partial(ListOf, Part(Unplaced)), "Members that no stock is long enough for.")


class SheetPiece(Answer):
    """A piece on its sheet or roll."""

    label = answered(Str, "What to write on it.")
    piece_id = answered(Str, "The piece it is.")
    x_mm = answered(Num, "From the sheet's left edge.")
    y_mm = answered(Num, "Along the sheet's length.")
    width_mm = answered(Num, "Across the sheet, as it lies there.")
    length_mm = answered(Num, "Along the sheet, as it lies there.")
    turned = answered(Flag, "Whether it lies at right angles to how it goes on the wall.")
    cut_outs = answered(partial(ListOf, Part(CutOutShape)), "Holes and notches, from the piece's own lower left corner.")
    room_id = answered(Id, "Its room.")
    wall_id = answered(Id, "Its wall.")


class SheetRemainder(Answer):
    """A rectangle that is left."""

    x_mm = answered(Num, "From the sheet's left edge.")
    y_mm = answered(Num, "Along the sheet's length.")
    width_mm = answered(Num, "Its width.")
    length_mm = answered(Num, "Its length.")
    reusable = answered(Flag, "Whether it is worth keeping.")


class StraightCut(Answer):
    """A straight cut from edge to edge of the part that it is made in."""

    x_mm = answered(Num, "Where it begins, from the sheet's left edge.")
    y_mm = answered(Num, "Where it begins, along the sheet's length.")
    direction = answered(Str, "across the sheet or along it.")
    length_mm = answered(Num, "How long it is; a saw takes its kerf beyond the line.")


class CutSheet(Answer):
    """One sheet or roll and how it is cut, by straight cuts from edge to edge."""

    sheet = answered(Int, "Its number in this list.")
    pattern = answered(Int, "Those cut alike share this number.")
    width_mm = answered(Int, "Its width.")
    length_mm = answered(Int, "Its length.")
    sku = answered(Str, "Article number; null in the built-in range.", allow_none=True)
    from_offcut_id = answered(Id, "The kept offcut it is; null: a new one.", allow_none=True)
    cuts = answered(partial(ListOf, Part(StraightCut)), "The cuts in the order in which they take it apart.")
    pieces = answered(partial(ListOf, Part(SheetPiece)), "What is cut from it.")
    remainders = answered(partial(ListOf, Part(SheetRemainder)), "What is left.")


class UnplacedPiece(Answer):
    """A piece that nothing in the range is large enough for; a finding says so too."""

    label = answered(Str, "Its label.")
    piece_id = answered(Str, "The piece it is.")
    width_mm = answered(Num, "Its width.")
    length_mm = answered(Num, "Its length.")
    room_id = answered(Id, "Its room.")
    wall_id = answered(Id, "Its wall.")


class SheetCutList(Answer):
    """The sheets or rolls of one component."""

    component = answered(Str, "The component.")
    room_id = sometimes(Id, "The room, where sheets are not shared between rooms.", allow_none=True)
    objective = answered(Str, "What was made small: count or price.")
    status = answered(Str, "optimal: proven best; bounded: a proven bound below it; heuristic: a plan without a proof.")
    bound = answered(Str, "Over which plans the bound holds: guillotine or any_packing.")
    lower_bound = answered(partial(Part, Measure), "No plan can do with less than this.")
    used = answered(partial(Part, Measure), "What this plan uses.")
    sheets = answered(partial(ListOf, Part(CutSheet)), "The sheets or rolls.")
    unplaced = answered(partial(ListOf, Part(UnplacedPiece)), "Pieces that nothing is large enough for.")


class CutLists(Answer):
    """All cut lists of a takeoff."""

    bars = answered(partial(ListOf, Part(BarCutList)), "Bars, a list a component.")
    sheets = answered(partial(ListOf, Part(SheetCutList)), "Boards and laminate, a list a component.")
    rolls = answered(partial(ListOf, Part(SheetCutList)), "Insulation and membrane, a list a component.")
