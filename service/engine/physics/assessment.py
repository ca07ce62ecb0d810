"""One build-up assessed whole: how it insulates now and will insulate, what is missing to its target, whether it stays dry.

Equal questions are answered once: `Assessor` remembers, and walls of one construction share what was worked out.
"""

from dataclasses import dataclass

from service.engine.physics.climate import Climate
from service.engine.physics.construction import Construction
from service.engine.physics.faults import Refused
from service.engine.physics.interstitial import CondensationYear, condensation_year
from service.engine.physics.interstitial_steps import condensation_steps
from service.engine.physics.steps import Step
from service.engine.physics.surface import SurfaceCheck, surface_check, surface_check_steps
from service.engine.physics.target import (
    ThicknessToTarget,
    missing_resistance_m2k_w,
    missing_resistance_steps,
    thickness_to_target,
)
from service.engine.physics.u_value import UValue, u_value
from service.engine.physics.u_value_steps import u_value_steps


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """`before` None: there was nothing. `insulation`, `membrane`: indexes into the layers of `after`. Target in W/(m²·K)."""

    after: Construction
    before: Construction | None = None
    insulation: int | None = None
    membrane: int | None = None
    target_w_m2k: float | None = None
    critical_factor: float | None = None
    climate: Climate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Moisture:
    """The year with the membrane (None: the build-up has none) and without it (None: nothing is left without it)."""

    membrane: str | None
    with_membrane: CondensationYear | None
    without_membrane: CondensationYear | None
    steps_with: tuple[Step, ...]
    steps_without: tuple[Step, ...]

    @property
    def as_built(self) -> CondensationYear:
        year = self.without_membrane if self.with_membrane is None else self.with_membrane
        assert year is not None
        return year


@dataclass(frozen=True, slots=True, kw_only=True)
class Assessment:
    """`missing_m2k_w` and `to_target` are None without a target, `to_target` also without an insulation layer. `surface` and
    `moisture` are None without a climate; `moisture` also where a layer's diffusion resistance is not known, and `no_moisture`
    says why. `steps` lead to the transmittance, the missing resistance and, for the month that asks most, the surface;
    `steps_before` to the transmittance as it was."""

    question: Question
    u_before: UValue | None
    u_after: UValue
    missing_m2k_w: float | None
    to_target: ThicknessToTarget | None
    surface: SurfaceCheck | None
    moisture: Moisture | None
    no_moisture: str | None
    steps_before: tuple[Step, ...]
    steps: tuple[Step, ...]


class Assessor:
    """Answers questions, each once."""

    def __init__(self) -> None:
        self._assessments: dict[Question, Assessment] = {}
        self._moistures: dict[tuple[object, ...], Moisture] = {}

    def assess(self, question: Question) -> Assessment:
        """Refused: a build-up that its method does not hold for."""
        if question not in self._assessments:
            self._assessments[question] = self._assessed(question)
        return self._assessments[question]

    def _assessed(self, question: Question) -> Assessment:
        after, climate, target = question.after, question.climate, question.target_w_m2k
        result = u_value(after)
        before = None if question.before is None else u_value(question.before)
        steps = list(u_value_steps(after, result))
        steps_before = () if question.before is None or before is None else u_value_steps(question.before, before)
        missing = to_target = surface = moisture = no_moisture = None
        if target is not None:
            missing = missing_resistance_m2k_w(result.u_value_w_m2k, target)
            steps += missing_resistance_steps(result.u_value_w_m2k, target)
            if question.insulation is not None and after.layers[question.insulation].conductivity_w_mk is not None:
                to_target = thickness_to_target(after, question.insulation, target)
        if climate is not None:
            surface = surface_check(after, climate, question.critical_factor)
            steps += surface_check_steps(after, climate, surface, only_month=surface.critical_month or 1)
            try:
                moisture = self._moisture(after, question.membrane, climate)
            except Refused as refusal:
                no_moisture = str(refusal)
        return Assessment(
            question=question,
            u_before=before,
            u_after=result,
            missing_m2k_w=missing,
            to_target=to_target,
            surface=surface,
            moisture=moisture,
            no_moisture=no_moisture,
            steps_before=steps_before,
            steps=tuple(steps),
        )

    def _moisture(self, after: Construction, membrane: int | None, climate: Climate) -> Moisture:
        """Corrections and steel make no difference to it: it goes through the clear parts."""
        key = (after.layers, after.surfaces, membrane, climate)
        if key not in self._moistures:
            self._moistures[key] = _moisture(after, membrane, climate)
        return self._moistures[key]


def _moisture(after: Construction, membrane: int | None, climate: Climate) -> Moisture:
    if membrane is None:
        year = condensation_year(after, climate)
        return Moisture(
            membrane=None,
            with_membrane=None,
            without_membrane=year,
            steps_with=(),
            steps_without=condensation_steps(after, climate, year),
        )
    year = condensation_year(after, climate)
    bare = after.without_layer(membrane) if len(after.layers) > 1 else None
    bare_year = None if bare is None else condensation_year(bare, climate)
    return Moisture(
        membrane=after.layers[membrane].name,
        with_membrane=year,
        without_membrane=bare_year,
        steps_with=condensation_steps(after, climate, year),
        steps_without=() if bare is None or bare_year is None else condensation_steps(bare, climate, bare_year),
    )
