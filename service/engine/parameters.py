"""The parameters of a lining specification: one table of names, defaults, ranges and provenance.

Lengths in mm, masses in kg. `Parameters` checks ranges and cross-checks when made, so no later stage checks again. The API's
schema, its document and its refusals are all made from this table.

Provenance marks: CP common practice, no published source; D a decision of this project; NBS a clause of the public dry-lining
specification text (K10); MEM from memory.
"""

from dataclasses import dataclass, field, fields
from typing import Any


@dataclass(frozen=True, slots=True)
class ParameterFault:
    """A parameter out of its range, or at odds with others. `name` is the parameter to point at."""

    name: str
    detail: str


class InvalidParameters(ValueError):
    def __init__(self, faults: list[ParameterFault]) -> None:
        super().__init__("; ".join(f"{f.name}: {f.detail}" for f in faults))
        self.faults = faults


def _p(default: Any, least: float, most: float, mark: str, text: str) -> Any:
    return field(default=default, metadata={"least": least, "most": most, "mark": mark, "text": text})


def _flag(default: bool, mark: str, text: str) -> Any:
    return field(default=default, metadata={"mark": mark, "text": text})


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameters:
    """Setting-out parameters; each a default of the trade that a user may change.

    Raises:
        InvalidParameters: with every fault, when a value is out of range or two values cannot go together.
    """

    frame_offset_mm: float = _p(100, 20, 1000, "CP", "masonry face to the front of the floor and ceiling channel")
    stud_centres_mm: float = _p(600, 200, 1200, "CP", "distance between the centre lines of neighbouring studs")
    centres_tolerance_mm: float = _p(
        25, 0, 100, "D", "how much further apart two stud lines may stand before one more is set midway"
    )
    stud_face_mm: float = _p(48, 20, 150, "D", "width of the stud face that boards are fixed to")
    stud_depth_mm: float = _p(20, 10, 150, "D", "front to back of a stud")
    stud_clearance_mm: float = _p(10, 0, 50, "CP", "studs are cut this much shorter than the height")
    rail_height_mm: float = _p(1300, 300, 3000, "CP", "underside of the first rail above the level line")
    rail_depth_mm: float = _p(20, 5, 100, "D", "front to back of a rail fixed flat on the masonry")
    bracket_reach_min_mm: float = _p(30, 0, 500, "D", "least distance from the rail's face to the back of the stud")
    bracket_reach_max_mm: float = _p(150, 10, 1000, "D", "greatest distance from the rail's face to the back of the stud")
    max_stud_span_mm: float = _p(1500, 300, 4000, "D", "greatest length of a stud between two supports")
    short_stud_bracket_over_mm: float = _p(300, 0, 2000, "CP", "a stud longer than this gets a bracket")
    opening_rail_gap_mm: float = _p(200, 50, 1000, "CP", "an opening's own rail stands this far below its sill or above its head")
    trim_return_mm: float = _p(150, 0, 600, "CP", "a trim channel runs past each side of the opening, bent round the stud")
    channel_fixing_spacing_mm: float = _p(
        600, 100, 1200, "CP, NBS K10/455", "greatest distance between fixings of channels and rails"
    )
    insulation_thickness_mm: float = _p(80, 0, 500, "D", "insulation behind the frame")
    insulation_oversize_mm: float = _p(15, 0, 50, "CP", "insulation is cut this much longer for a friction fit")
    membrane_oversize_mm: float = _p(50, 0, 500, "CP", "membrane drops are cut this much longer")
    membrane_lap_mm: float = _p(100, 20, 500, "CP", "overlap of two membrane drops")
    board_thickness_mm: float = _p(12.5, 6, 50, "CP", "thickness of one layer of board")
    board_layers: int = _p(1, 1, 3, "CP", "layers of board")
    board_floor_gap_mm: float = _p(10, 0, 50, "CP", "boards stop this far above the floor")
    board_min_width_mm: float = _p(150, 0, 600, "D", "least width of a strip of board")
    board_turning: bool = _flag(False, "CP", "boards may be turned on their sheet, so that paper edges run across the wall")
    board_screw_spacing_mm: float = _p(300, 50, 600, "NBS K10/590", "greatest distance between board screws along a stud line")
    board_screw_external_mm: float = _p(
        200, 50, 600, "NBS K10/590", "greatest distance between board screws along an external corner"
    )
    board_screw_end_mm: float = _p(15, 6, 100, "D", "first screw from a piece's end")
    reveal_board_thickness_mm: float = _p(27, 6, 150, "CP", "insulated laminate that lines a reveal")
    frame_screws_per_stud_end: int = _p(1, 0, 4, "CP", "frame screws at each end of a full stud; 0 where studs are only held")
    sealant_bead_mm: float = _p(6, 2, 20, "D", "diameter of a sealant bead")
    sealant_tube_ml: float = _p(310, 50, 1000, "CP", "contents of a tube of sealant whose item states no yield")
    adhesive_coverage_m2_per_kg: float = _p(
        0.2, 0.01, 5, "MEM", "lining that a kilogram of board adhesive bonds, where the item states no yield"
    )
    compound_coverage_m2_per_kg: float = _p(
        2.5, 0.1, 50, "MEM", "board that a kilogram of joint compound finishes, where the item states no yield"
    )
    reusable_offcut_mm: float = _p(600, 100, 3000, "D", "a remainder at least this long is kept for later")
    run_min_piece_mm: float = _p(300, 0, 1500, "D", "least length of a piece where a run is split at the stock length")
    splice_overlap_mm: float = _p(600, 100, 1200, "D", "overlap of the two parts of a spliced stud")
    socket_box_width_mm: float = _p(135, 50, 400, "MEM", "width of a socket's box where the survey gives none: a double one")
    switch_box_width_mm: float = _p(75, 50, 400, "MEM", "width of a switch's box where the survey gives none")
    box_height_mm: float = _p(75, 50, 400, "MEM", "height of a socket's or switch's box where the survey gives none")
    pipe_diameter_mm: float = _p(22, 5, 400, "MEM", "diameter of a pipe where the survey gives none")
    vent_diameter_mm: float = _p(125, 50, 600, "MEM", "diameter of a vent's duct where the survey gives none")
    pipe_clearance_mm: float = _p(5, 0, 50, "CP", "gap left in the boards all round a pipe or duct")
    feature_stud_clearance_mm: float = _p(5, 0, 100, "D", "a cut-out keeps this far from a stud or a support rail")
    feature_edge_clearance_mm: float = _p(
        40, 0, 200, "D", "board left between a cut-out and an opening, an edge of the face or another cut-out"
    )
    seal_overrun_mm: float = _p(25, 0, 150, "D", "tape round what passes the membrane runs this far past each corner")
    hung_width_mm: float = _p(600, 100, 3000, "D", "width over which a hung item is supported where the survey gives none")
    support_inset_mm: float = _p(
        75, 0, 500, "CP", "middle of a support rail inside the top and the bottom of the item that hangs on it"
    )
    bracket_section_mm2: float = _p(
        40, 0.1, 2000, "D", "cross-section of what passes through the insulation at one bracket, for its loss of heat"
    )
    bracket_conductivity_w_mk: float = _p(50, 0.05, 400, "MEM", "conductivity of a bracket: mild steel, ISO 10456")
    insulation_air_gap_level: int = _p(0, 0, 2, "MEM", "air gaps in the insulation, by level of ISO 6946, Annex F")
    board_carries_kg: float = _p(10, 0, 50, "CP", "an item that is no heavier hangs on the boards without a support rail")
    support_carries_kg: float = _p(60, 0, 500, "D", "an item heavier than this has its fixing designed")

    def __post_init__(self) -> None:
        faults = list(_faults(self))
        if faults:
            raise InvalidParameters(faults)

    @property
    def lining_thickness_mm(self) -> float:
        """t: board thickness times layers."""
        return self.board_thickness_mm * self.board_layers

    @property
    def least_offset_mm(self) -> float:
        """The smallest d in which insulation, rail, bracket and stud still find room."""
        return self.stud_depth_mm + max(self.insulation_thickness_mm, self.rail_depth_mm + self.bracket_reach_min_mm)

    @property
    def greatest_offset_mm(self) -> float:
        """The largest d that the longest bracket still reaches."""
        return self.stud_depth_mm + self.rail_depth_mm + self.bracket_reach_max_mm


def _faults(p: Parameters) -> list[ParameterFault]:
    faults = []
    for f in NUMBERS.values():
        value, least, most = getattr(p, f.name), f.metadata["least"], f.metadata["most"]
        if not least <= value <= most:
            faults.append(ParameterFault(f.name, f"must be from {least:g} to {most:g}, is {value:g}"))
    if faults:
        return faults
    if p.bracket_reach_max_mm < p.bracket_reach_min_mm:
        faults.append(ParameterFault("bracket_reach_max_mm", "must not be less than bracket_reach_min_mm"))
    if p.frame_offset_mm < p.least_offset_mm:
        faults.append(
            ParameterFault(
                "frame_offset_mm",
                f"must be at least {p.least_offset_mm:g}: stud depth {p.stud_depth_mm:g} and behind it the insulation "
                f"({p.insulation_thickness_mm:g}) or rail and shortest bracket ({p.rail_depth_mm + p.bracket_reach_min_mm:g})",
            )
        )
    elif p.frame_offset_mm > p.greatest_offset_mm:
        faults.append(
            ParameterFault("frame_offset_mm", f"must be at most {p.greatest_offset_mm:g}: the longest bracket reaches no further")
        )
    if p.stud_centres_mm < 3 * p.stud_face_mm:
        faults.append(ParameterFault("stud_centres_mm", f"must be at least three stud faces ({3 * p.stud_face_mm:g})"))
    if p.support_carries_kg < p.board_carries_kg:
        faults.append(ParameterFault("support_carries_kg", "must not be less than board_carries_kg"))
    if p.membrane_lap_mm + p.membrane_oversize_mm > 900:
        faults.append(ParameterFault("membrane_lap_mm", "lap and oversize together must not exceed 900"))
    return faults


PARAMETER_FIELDS = {f.name: f for f in fields(Parameters)}
NUMBERS = {name: f for name, f in PARAMETER_FIELDS.items() if "least" in f.metadata}
"""Those with a range; the others are true or false."""
