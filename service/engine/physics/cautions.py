"""What to think of before a wall is lined from inside: chosen by what is known of the job, each with who is competent and why.

None of them says that a job is in order: local rules and licensed practice decide that.
"""

from dataclasses import dataclass

from service.vocabulary import Certainty, Substrate

HEAVY_BOARD_KG = 25.0
ASBESTOS_BEFORE = 2000
LEAD_PAINT_BEFORE = 1992
MASONRY = frozenset(
    {Substrate.SOLID_BRICK, Substrate.CAVITY_BRICK, Substrate.STONE, Substrate.CONCRETE_BLOCK, Substrate.DENSE_CONCRETE}
)
SOLID_MASONRY = frozenset({Substrate.SOLID_BRICK, Substrate.STONE})


@dataclass(frozen=True, slots=True)
class Job:
    """The facts that choose. `year_built` None: unknown, and taken as old. `heaviest_board_kg` None: not known."""

    substrates: frozenset[Substrate]
    year_built: int | None = None
    heaviest_board_kg: float | None = None
    drilling: bool = True
    mineral_fibre: bool = False
    window_reveals: bool = False
    combustion_appliance: bool = False
    electrical_features: bool = False


@dataclass(frozen=True, slots=True)
class Caution:
    id: str
    because: str
    what_to_do: str
    competent: str
    source: str
    certainty: Certainty


def cautions(job: Job) -> tuple[Caution, ...]:
    """The cautions that the facts of a job call for, in a fixed order."""
    found = [_DAMP, _VENTILATION]
    if job.substrates & MASONRY:
        found.append(_EXPOSURE)
    if job.substrates & SOLID_MASONRY:
        found.append(_SOLID_MASONRY)
        found.append(_TIMBER_ENDS)
    if Substrate.TIMBER_FRAME in job.substrates:
        found.append(_TIMBER_FRAME)
    if Substrate.OTHER in job.substrates:
        found.append(_UNKNOWN_SUBSTRATE)
    if job.year_built is None or job.year_built < ASBESTOS_BEFORE:
        found.append(_ASBESTOS)
    if job.year_built is None or job.year_built < LEAD_PAINT_BEFORE:
        found.append(_LEAD_PAINT)
    if job.heaviest_board_kg is not None and job.heaviest_board_kg > HEAVY_BOARD_KG:
        found.append(_HEAVY_BOARDS)
    if job.drilling:
        found.append(_HIDDEN_SERVICES)
        if job.substrates & (MASONRY | {Substrate.OTHER}):
            found.append(_SILICA)
    if job.mineral_fibre:
        found.append(_FIBRE)
    if job.window_reveals:
        found.append(_REVEALS)
    if job.combustion_appliance:
        found.append(_COMBUSTION)
    if job.electrical_features:
        found.append(_ELECTRICS)
    return tuple(found)


_READ, _SECOND, _MEM = Certainty.READ, Certainty.READ_SECONDARY, Certainty.FROM_MEMORY

_DAMP = Caution(
    "damp_first",
    "A lining hides damp and keeps it from drying into the room.",
    "Find and mend the causes of damp first: gutters, pointing, ground levels, leaks, rising damp. Let the wall dry, look "
    "again after the work. Keep the vapour control layer unpunctured.",
    "Surveyor experienced with damp in buildings of this kind",
    "Guidance of an alliance for sustainable traditional buildings on rain and drains",
    _READ,
)
_VENTILATION = Caution(
    "ventilation",
    "Lining a wall makes a room tighter; the same moisture then has fewer ways out.",
    "Have the ventilation of the dwelling assessed, and raised where it falls short, before or with the lining.",
    "Retrofit assessor or ventilation designer",
    "PAS 2035:2023, ventilation annex",
    _MEM,
)
_EXPOSURE = Caution(
    "driving_rain",
    "Masonry that is lined inside stays colder and dries more slowly after rain.",
    "Assess how much driving rain each elevation takes, and whether its face keeps the rain out, before choosing insulation.",
    "Building surveyor or retrofit designer",
    "BS 8104; yearbook 2017 of a conservation institute, p. 36",
    _READ,
)
_SOLID_MASONRY = Caution(
    "solid_masonry_moisture",
    "The month-by-month check leaves out rain, capillarity, built-in water and air leakage, which govern solid walls.",
    "Do not rest the decision on that check alone: have the wall simulated to EN 15026 where it is exposed or of doubtful state.",
    "Moisture assessor competent in hygrothermal simulation",
    "Scope of ISO 13788:2012; BS 5250:2021",
    _READ,
)
_TIMBER_ENDS = Caution(
    "built_in_timber",
    "Joist ends and plates built into a solid wall become colder and wetter once it is lined.",
    "Open up and look at built-in timber, measure its moisture, and have the detail at floors designed.",
    "Building surveyor or structural engineer",
    "common practice, no published source",
    Certainty.COMMON_PRACTICE,
)
_TIMBER_FRAME = Caution(
    "timber_moisture",
    "Timber that is closed in wet may rot.",
    "Measure the timber's moisture content before closing it in; it should be at most 20 %. The building should be weathertight.",
    "Carpenter or surveyor with a moisture meter",
    "Technical standards of a United Kingdom warranty provider, 9.2.4",
    _READ,
)
_UNKNOWN_SUBSTRATE = Caution(
    "unknown_substrate",
    "What the wall is made of is not known here.",
    "Find out what the wall is made of, and whether the fixings hold in it and moisture can be judged, before ordering.",
    "Building surveyor",
    "common practice, no published source",
    Certainty.COMMON_PRACTICE,
)
_ASBESTOS = Caution(
    "asbestos",
    "Buildings from before 2000, or of unknown age, may hold asbestos in boards, plasters, coatings and pipe lagging.",
    "Have a refurbishment survey made of the area that will be disturbed before work starts; it opens the building up, so the "
    "area is empty meanwhile.",
    "Asbestos surveyor; licensed contractor where removal calls for one",
    "Control of Asbestos Regulations 2012, regulation 5; HSG264",
    _SECOND,
)
_LEAD_PAINT = Caution(
    "lead_paint",
    "Old paint may hold lead, which sanding, drilling and stripping set free.",
    "Test old paint where it will be disturbed; do not dry-sand it.",
    "Occupational hygienist or trained decorator with a test",
    "Control of Lead at Work Regulations 2002; the year is from memory",
    _MEM,
)
_HEAVY_BOARDS = Caution(
    "heavy_boards",
    "The heaviest board of this job weighs more than 25 kg.",
    "Avoid carrying where a lift or trolley can do it, assess the rest, and lift boards with two persons or an aid.",
    "Whoever plans the work, with the crew",
    "Manual Handling Operations Regulations 1992 and guidance of the Health and Safety Executive; 25 kg is the filter of that "
    "guidance, from memory",
    _READ,
)
_HIDDEN_SERVICES = Caution(
    "hidden_services",
    "Brackets and fixings are drilled into walls that may hold cables and pipes.",
    "Locate cables, gas and water pipes before drilling, and isolate what is in doubt.",
    "Whoever drills, with a detector; electrician or gas engineer where found",
    "common practice, no published source",
    Certainty.COMMON_PRACTICE,
)
_SILICA = Caution(
    "silica_dust",
    "Drilling and cutting masonry, mortar and concrete sets free respirable crystalline silica.",
    "Use extraction on the tool and a fitted mask, keep others out of the dust. The workplace limit is 0.1 mg/m³ over 8 h.",
    "Whoever plans the work; mask fit by a face-fit tester",
    "Health and Safety Executive, construction sheet on silica; EH40",
    _READ,
)
_FIBRE = Caution(
    "mineral_fibre",
    "Mineral wool sheds fibres that irritate skin, eyes and airways.",
    "Wear gloves and a mask, cut with a knife and outside the room where possible, and clean up damp.",
    "Whoever fits the insulation",
    "Health and Safety Executive, method sheet on man-made mineral fibre",
    _READ,
)
_REVEALS = Caution(
    "window_reveals",
    "An unlined or thinly lined reveal becomes the coldest part of a lined wall, and a lined one takes width from the opening.",
    "Have the reveal detail designed; keep sashes, trickle vents and escape openings free.",
    "Retrofit designer; window fitter",
    "PAS 2035:2023, junctions and thermal bridges",
    _MEM,
)
_COMBUSTION = Caution(
    "combustion_appliance",
    "There is a combustion appliance: it needs air, and its flue needs its distance from what can burn.",
    "Keep its air supply and flue clear of the lining, never close a vent, and have all three checked after the work.",
    "Registered gas, oil or solid-fuel engineer",
    "Approved Document J (England)",
    _MEM,
)
_ELECTRICS = Caution(
    "electrical_features",
    "Sockets, switches and cables must be moved or extended, and cables within insulation carry less current.",
    "Have circuits isolated, altered, rated for their new surroundings and tested; seal boxes at the vapour control layer.",
    "Licensed or registered electrician",
    "BS 7671",
    _MEM,
)
