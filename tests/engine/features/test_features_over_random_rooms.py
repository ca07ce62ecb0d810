"""Cut-outs lie on the face and apart, rails between studs and apart, and what is in the way is said, in random rooms."""

import math
import random
import re
from collections import Counter
from dataclasses import replace

import pytest
from features.answers import THROUGH, Answer, answers, meet
from features.furnished_rooms import furnished_cases, random_furnished_case
from hypothesis import given
from rooms.surveys import Case

from service.engine.inputs import Feature
from service.finding_codes import FindingCode
from service.vocabulary import Component, FeatureKind, Role, UnitCode

LEFT_OUT = {FindingCode.FEATURE_OFF_FACE, FindingCode.FEATURE_MEETS_OPENING, FindingCode.FEATURE_MEETS_FEATURE}
BOXES = (FeatureKind.SOCKET, FeatureKind.SWITCH)


def _hole(f: Feature, answer: Answer) -> tuple[float, float]:
    """A second reading of V2."""
    p, width, height = answer.p, f.width_mm, f.height_mm
    if f.kind in BOXES:
        usual = p.socket_box_width_mm if f.kind is FeatureKind.SOCKET else p.switch_box_width_mm
        return width or usual, height or p.box_height_mm
    usual = p.pipe_diameter_mm if f.kind is FeatureKind.PIPE else p.vent_diameter_mm
    more = 2 * p.pipe_clearance_mm
    return (width or height or usual) + more, (height or width or usual) + more


@given(furnished_cases())
def test_cut_outs_lie_on_the_face_outside_openings_and_apart(case: Case) -> None:
    for answer in answers(case):
        run, frames = answer.lined.stretch.run, {lay.wall: lay.frame for lay in answer.layouts}
        for i, (x0, x1, y0, y1) in enumerate(answer.cuts):
            left, right = answer.walls[0], answer.walls[-1]
            assert x0 >= max(frames[left].x0_mm, frames[left].finished_x0_mm) + answer.starts[left] - 1e-3
            assert x1 <= min(frames[right].x1_mm, frames[right].finished_x1_mm) + answer.starts[right] + 1e-3
            for x in (x0, (x0 + x1) / 2, x1):
                at = run.span_at(x)
                wall, own = answer.wall(at.ordinal), x - at.start_mm
                assert wall.floor_at(own) + answer.p.board_floor_gap_mm - 1e-3 <= y0 < y1 <= wall.ceiling_at(own) + 1e-3
            assert not any(meet(answer.cuts[i], hole) for hole in answer.openings)
            assert not any(meet(answer.cuts[i], other) for other in answer.cuts[:i])


@given(furnished_cases())
def test_all_that_passes_through_is_cut_as_large_as_it_takes_or_it_is_said_why_not(case: Case) -> None:
    """Once, in one stretch."""
    cut: Counter[tuple[int, int]] = Counter()
    told: set[tuple[int, int]] = set()
    framed: dict[tuple[int, int], Feature] = {}
    for answer in answers(case):
        framed |= {(w, k): f for w, k, f in answer.features() if f.kind in THROUGH}
        told |= {(w, k) for w, k in framed if any(f.code in LEFT_OUT for f in answer.about(w, k))}
        for c in answer.work.cuts:
            f = answer.wall(c.wall).features[c.feature - 1]
            wide, high = _hole(f, answer)
            cut[c.wall, c.feature] += 1
            assert c.kind is f.kind in THROUGH
            assert (c.x1_mm - c.x0_mm, c.y1_mm - c.y0_mm) == pytest.approx((wide, high))
            assert ((c.x0_mm + c.x1_mm) / 2, (c.y0_mm + c.y1_mm) / 2) == pytest.approx((f.x_mm + answer.starts[c.wall], f.y_mm))
            assert c.diameter_mm == (wide if f.kind not in BOXES and wide == high else None)
    assert set(cut.values()) <= {1}
    assert framed.keys() - cut.keys() <= told | _in_stretches_not_framed(case)


def _in_stretches_not_framed(case: Case) -> set[tuple[int, int]]:
    """Features of runs of which not every stretch could be framed: they may belong to the other one."""
    lined = [answer.lined for answer in answers(case)]
    refused = set()
    for one in lined:
        run = one.stretch.run
        low = one.stretch.left is None or one.stretch.right is None
        if low and sum(other.stretch.run.spans[0].ordinal == run.spans[0].ordinal for other in lined) < 2:
            refused |= {(s.ordinal, k) for s in run.spans for k in range(1, len(case.room.walls[s.ordinal - 1].features) + 1)}
    return refused


@given(furnished_cases())
def test_a_stud_in_the_way_is_said_and_the_move_proposed_clears_it(case: Case) -> None:
    for answer in answers(case):
        for c, box in zip(answer.work.cuts, answer.cuts, strict=True):
            found = [f for f in answer.about(c.wall, c.feature) if f.code is FindingCode.FEATURE_MEETS_STUD]
            # A splice doubles a stud over its lap; the parts of one line count as one.
            in_the_way = any(
                box[0] < s[1] + answer.p.feature_stud_clearance_mm - 1e-4
                and s[0] < box[1] + answer.p.feature_stud_clearance_mm - 1e-4
                and meet((0, 1, box[2], box[3]), (0, 1, s[2], s[3]), answer.p.feature_stud_clearance_mm)
                for s in answer.studs
            )
            assert len(found) == in_the_way
            move = re.search(r": (\d+) mm further (left|right) it is clear", found[0].message) if found else None
            if move is not None:
                _moved_is_clear(answer, c.wall, c.feature, int(move[1]) * (-1 if move[2] == "left" else 1))


def _moved_is_clear(answer: Answer, wall: int, ordinal: int, by: int) -> None:
    here = answer.wall(wall)
    f = here.features[ordinal - 1]
    x = f.x_mm + by
    if not 0 <= x <= here.length_mm:  # on the run's next wall, or round a corner
        return
    features = (*here.features[: ordinal - 1], replace(f, x_mm=x), *here.features[ordinal:])
    room = answer.case.room
    walls = tuple(replace(w, features=features) if i == wall else w for i, w in enumerate(room.walls, start=1))
    moved = answers(replace(answer.case, rooms=(replace(room, walls=walls),)))
    cuts = [(a, c) for a in moved for c in a.work.cuts if (c.wall, c.feature) == (wall, ordinal)]
    assert len(cuts) == 1
    codes = {said.code for said in cuts[0][0].about(wall, ordinal)}
    assert FindingCode.FEATURE_MEETS_STUD not in codes


@given(furnished_cases())
def test_rails_stand_from_stud_to_stud_and_clear_of_all_else(case: Case) -> None:
    for answer in answers(case):
        p = answer.p
        for i, (member, box) in enumerate(zip(answer.work.supports, answer.rails, strict=True)):
            x0, x1, y0, y1 = box
            assert isinstance(member.length_mm, int)
            assert 50 <= member.length_mm <= p.stud_centres_mm + p.centres_tolerance_mm - p.stud_face_mm
            held = [s for s in answer.studs if s[2] <= y0 + 1e-3 and y1 <= s[3] + 1e-3]
            assert any(abs(s[1] - x0) < 1e-3 for s in held), "nothing holds its left end"
            assert any(-1e-3 <= s[0] - x1 < 1 for s in held), "nothing holds its right end"
            assert not any(meet(box, s) for s in answer.studs)
            assert not any(meet(box, hole) for hole in answer.openings)
            assert not any(meet(box, other) for other in answer.rails[:i])
        assert [f.members for f in answer.work.fixings] == [(m.id,) for m in answer.work.supports]
        assert all((f.component, f.role, f.count) == (Component.FRAME_SCREW, Role.SUPPORT_RAIL, 4) for f in answer.work.fixings)
        ids = [m.id for m in answer.work.supports]
        assert len(set(ids)) == len(ids)


@given(furnished_cases())
def test_what_hangs_has_steel_behind_every_row_or_it_is_said(case: Case) -> None:
    """Sampled every 20 mm over the item's width, within the frame: a stud, a rail within half a face, or a finding."""
    for answer in answers(case):
        for w, k, f in answer.features():
            if f.kind in THROUGH or (f.kind is FeatureKind.HEAVY_ITEM and f.mass_kg is not None and f.mass_kg <= 10):
                continue
            said = {found.code for found in answer.about(w, k)}
            excused = {FindingCode.FEATURE_UNSUPPORTED, FindingCode.FEATURE_MEETS_FEATURE, FindingCode.FEATURE_OFF_FACE}
            if said & excused or w not in answer.walls:
                continue
            x, half = f.x_mm + answer.starts[w], (f.width_mm or answer.p.hung_width_mm) / 2
            stretch = answer.lined.stretch
            if not stretch.x0_mm <= x <= stretch.x1_mm:
                continue
            a, b = max(x - half, stretch.channel_x0_mm), min(x + half, stretch.channel_x1_mm)
            inside = (f.height_mm or 0) / 2 - answer.p.support_inset_mm
            rows = (f.y_mm - inside, f.y_mm + inside) if 2 * inside >= answer.p.stud_face_mm else (f.y_mm,)
            narrow = [(s[1], t[0], max(s[2], t[2]), min(s[3], t[3])) for s in answer.studs for t in answer.studs]
            steel = [*answer.studs, *answer.rails, *(gap for gap in narrow if 0 <= gap[1] - gap[0] < 50)]
            for y in rows:
                for n in range(int((b - a) // 20) + 1):
                    at = a + 20.0 * n
                    behind = any(s[0] - 1.01 <= at <= s[1] + 1.01 and s[2] - 1e-3 <= y <= s[3] + 1e-3 for s in steel)
                    assert behind, (f, at, y)


@given(furnished_cases())
def test_seals_are_what_their_terms_come_to_one_set_a_cut_out(case: Case) -> None:
    for answer in answers(case):
        sealed: Counter[tuple[str, Component]] = Counter()
        for usage in answer.work.usages:
            assert usage.unit is UnitCode.METRE
            assert re.fullmatch(r"[0-9.π ×+]+ mm", usage.terms), usage.terms
            terms = usage.terms.removesuffix(" mm").replace("π", repr(math.pi)).split("+")
            assert usage.quantity == pytest.approx(sum(math.prod(map(float, term.split("×"))) for term in terms) / 1000, abs=6e-5)
            (member,) = usage.members
            sealed[member, usage.component] += 1
        wanted = {(f"1/{c.wall}/feature-{c.feature}", Component.LAP_TAPE) for c in answer.work.cuts}
        wanted |= {(f"1/{c.wall}/feature-{c.feature}", Component.SEALANT) for c in answer.work.cuts if c.kind not in BOXES}
        assert sealed == dict.fromkeys(wanted, 1)


@given(furnished_cases())
def test_every_dangerous_wall_carries_its_caution_once(case: Case) -> None:
    found: Counter[tuple[str, int | None]] = Counter()
    kinds: set[tuple[str, int]] = set()
    for answer in answers(case):
        found.update((f.code, f.wall) for f in answer.work.findings)
        for w, _, f in answer.features():
            if f.kind in THROUGH:
                kinds.add((FindingCode.FEATURE_ELECTRICAL if f.kind in BOXES else FindingCode.FEATURE_GAS, w))
    cautions = {key for key in found if key[0] in (FindingCode.FEATURE_ELECTRICAL, FindingCode.FEATURE_GAS)}
    assert cautions <= kinds
    assert all(found[key] == 1 for key in cautions)
    in_doubt = {w for w, _ in _in_stretches_not_framed(case)}
    assert {key for key in kinds if key[1] not in in_doubt} <= cautions


def test_a_thousand_rooms_come_to_every_kind_and_finding() -> None:
    seen: Counter[str] = Counter()
    for seed in range(1000):
        for answer in answers(random_furnished_case(random.Random(seed))):
            seen.update({f.code.value for f in answer.work.findings})
            seen.update({c.kind.value for c in answer.work.cuts})
            seen.update({"a round hole" for c in answer.work.cuts if c.diameter_mm})
            seen.update({"an oblong one" for c in answer.work.cuts if c.diameter_mm is None and c.kind not in BOXES})
            seen.update({"a rail" for _ in answer.work.supports})
            seen.update(
                {f"moved {side}" for side in ("left", "right") for f in answer.work.findings if f"further {side}" in f.message}
            )
            seen.update({"nowhere to move" for f in answer.work.findings if "no place beside it" in f.message})
    codes = [code.value for code in FindingCode if code.value.startswith("feature_")]
    wanted = [*codes, *(kind.value for kind in THROUGH), "a round hole", "an oblong one", "a rail", "moved left", "moved right",
              "nowhere to move"]  # fmt: skip
    assert len(codes) == 9
    assert {name: seen[name] for name in wanted if seen[name] < 10} == {}
