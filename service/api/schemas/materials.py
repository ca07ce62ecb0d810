"""Materials: design values for heat and vapour, those that every account can use and the account's own beside them."""

from functools import partial

from service.api.fields import Between, Flag, Length, Num, QueryFlag, Str, Time, Word
from service.api.schemas.family import Member, Members, answered, family, page
from service.api.schemas.queries import PageQuery
from service.store.models.materials import LEAST
from service.vocabulary import CERTAINTY_NAMES, Certainty

_CERTAINTIES = "; ".join(f"{word.value}: {text}" for word, text in CERTAINTY_NAMES.items())


def _number(most: float, text: str) -> Member:
    return Member(make=partial(Num, validate=Between(LEAST, most)), text=text, nullable=True, default=None)


MATERIAL: Members = {
    "name": Member(make=partial(Str, validate=Length(1, 200)), text="What it is called.", required=True),
    "conductivity_w_mk": _number(1000, "Conductivity, W/(m·K); null: a film or coating, or a matter of the product."),
    "density_kg_m3": _number(100_000, "Density, kg/m³."),
    "specific_heat_j_kgk": _number(100_000, "Specific heat, J/(kg·K)."),
    "mu_dry": _number(1e9, "Diffusion resistance factor μ in dry surroundings: inside of the wall."),
    "mu_wet": _number(1e9, "The same in damp surroundings: the wall and outside it."),
    "sd_m": _number(1e6, "Diffusion-equivalent air layer thickness of a film or coating, m, instead."),
    "thickness_mm": _number(5000, "Thickness that a layer of it has unless it says another."),
    "source": Member(make=partial(Str, validate=Length(1, 500)), text="Where the values come from.", nullable=True, default=None),
    "certainty": Member(
        make=partial(Word, Certainty), text=f"How that was checked. {_CERTAINTIES}.", nullable=True, default=None
    ),
    "note": Member(make=partial(Str, validate=Length(1, 1000)), text="Anything.", nullable=True, default=None),
}
TOLD: Members = {
    "standard": Member(make=Flag, text="Whether every account has it; nobody changes it then."),
    "code": Member(make=Str, text="What a standard one can be named by instead of its id.", nullable=True),
}
_whole = family("Material", "Design values of one material", MATERIAL, server_sets=TOLD)
_times = {
    name: answered(Time, f"{text}; null of a standard one.", allow_none=True)
    for name, text in (("created_at", "When it was made, RFC 3339 in UTC"), ("updated_at", "When it last changed"))
}
_read = type("Material", (_whole.read,), {"__doc__": _whole.read.__doc__, **_times})
Material = _whole._replace(read=_read, page=page("Material", _read))


class MaterialsQuery(PageQuery):
    standard = QueryFlag(metadata={"description": "`true`: only those that every account has. `false`: only your own."})
