"""Random rooms lined with random boards: layers, sheets, gaps and laps on top of what the frame's rooms vary."""

import random
from dataclasses import dataclass, replace

from hypothesis import strategies as st
from rooms.dice import Dice, DrawnDice, SeededDice, chance, one_of, weighted
from rooms.surveys import USUAL_CHANNELS, USUAL_STUDS, Case, parameters_from, room_thrown

from service.engine.boards.board import Boarding, board
from service.engine.features.place import place_features
from service.engine.framing.frame import Frame, set_out_frame
from service.engine.inputs import Sheet
from service.engine.parameters import Parameters
from service.vocabulary import ROLE_COMPONENTS, Component

USUAL_BOARD = (1200, 3000)
STOCK = {Component.C_STUD: USUAL_STUDS, Component.U_CHANNEL: USUAL_CHANNELS}


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardedCase:
    case: Case
    board_sheet: Sheet
    laminate_sheet: Sheet

    @property
    def p(self) -> Parameters:
        return self.case.parameters

    def answer(self) -> tuple[Frame, Boarding]:
        """The frame, with what features take out of each stretch, and its boards."""
        frame = set_out_frame(self.case.rooms, self.p, ROLE_COMPONENTS, STOCK)
        rooms = self.case.rooms
        lined = tuple(
            replace(stretch, cuts=place_features(stretch, rooms[stretch.room - 1], self.p, ROLE_COMPONENTS).cuts)
            for stretch in frame.lined
        )
        return replace(frame, lined=lined), board(lined, self.p, self.board_sheet, self.laminate_sheet, ROLE_COMPONENTS)


def _boards_varied(dice: Dice, p: Parameters) -> Parameters:
    return replace(
        p,
        board_layers=weighted(dice, [(5, 1), (4, 2), (1, 3)]),
        board_floor_gap_mm=one_of(dice, (10, 0, 25, 50)),
        board_min_width_mm=one_of(dice, (150, 0, 300)),
        board_screw_spacing_mm=one_of(dice, (300, 250)),
        board_screw_external_mm=one_of(dice, (200, 150)),
        board_screw_end_mm=one_of(dice, (15, 10)),
        reveal_board_thickness_mm=weighted(dice, [(4, 27), (1, 12.5), (1, 62)]),
    )


def boarded_case_thrown(dice: Dice) -> BoardedCase:
    parameters = parameters_from(dice)
    width, length = USUAL_BOARD
    if chance(dice, 50):
        parameters = _boards_varied(dice, parameters)
        width, length = one_of(dice, (1200, 900, 1220, 600)), one_of(dice, (3000, 2400, 1800))
    return BoardedCase(
        case=Case(rooms=(room_thrown(dice, parameters),), parameters=parameters),
        board_sheet=Sheet(width_mm=width, length_mm=length),
        laminate_sheet=Sheet(width_mm=one_of(dice, (1200, 600)), length_mm=one_of(dice, (2400, 1200))),
    )


def random_boarded_case(rng: random.Random) -> BoardedCase:
    return boarded_case_thrown(SeededDice(rng))


@st.composite
def boarded_cases(draw: st.DrawFn) -> BoardedCase:
    return boarded_case_thrown(DrawnDice(draw))
