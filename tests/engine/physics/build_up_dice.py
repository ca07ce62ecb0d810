"""Build-ups, fasteners and climates thrown at random, within what a wall may be made of."""

from hypothesis import strategies as st

from service.engine.physics.climate import Air, Climate
from service.engine.physics.construction import Construction
from service.engine.physics.corrections import AirGaps, Fasteners
from service.engine.physics.layers import Bridge, Layer


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    return st.floats(low, high, allow_nan=False, allow_infinity=False)


@st.composite
def layers(draw: st.DrawFn, bridged: bool = True) -> Layer:
    """From insulation to stone; a bridge conducts at most four times as well as what it bridges, like timber in mineral wool."""
    conductivity = draw(numbers(0.02, 3))
    bridge = None
    if bridged and draw(st.booleans()):
        bridge = Bridge(draw(numbers(0, 0.5)), min(9.0, conductivity * draw(numbers(0.25, 4))))
    return Layer("layer", draw(numbers(1, 300)), conductivity, bridge=bridge, mu=draw(numbers(1, 200)))


@st.composite
def build_ups(draw: st.DrawFn, bridged: bool = True, most: int = 5) -> Construction:
    found = draw(st.lists(layers(bridged), min_size=1, max_size=most))
    return Construction(tuple(found))


@st.composite
def corrected_build_ups(draw: st.DrawFn) -> Construction:
    """With fasteners through one layer and gaps in it."""
    bare = draw(build_ups())
    at = draw(st.integers(0, len(bare.layers) - 1))
    fasteners = Fasteners(at, draw(numbers(0, 12)), draw(numbers(1, 200)), draw(numbers(0.5, 200)))
    return Construction(bare.layers, corrections=(fasteners, AirGaps(at, draw(st.integers(0, 2)))))


@st.composite
def airs(draw: st.DrawFn, temperature: tuple[float, float], humidity: tuple[float, float]) -> Air:
    return Air(draw(numbers(*temperature)), draw(numbers(*humidity)))


@st.composite
def climates(draw: st.DrawFn) -> Climate:
    outside = draw(st.lists(airs((-20, 28), (30, 100)), min_size=12, max_size=12))
    inside = draw(st.lists(airs((16, 26), (20, 90)), min_size=12, max_size=12))
    return Climate(tuple(outside), tuple(inside))
