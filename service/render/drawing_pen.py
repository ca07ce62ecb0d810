"""A pen that draws in wall millimetres, y up, on an SVG page; line weights and dashes by common drawing practice."""

from collections.abc import Callable, Sequence

import drawsvg as svg

DASHES = {"long": (60, 25), "short": (25, 20), "chain": (90, 20, 12, 20), "dots": (8, 16)}
FONT = "Helvetica, Arial, sans-serif"


class Pen:
    """Page and scale of one wall from `left` to `right` and `low` to `high`, mm. `letter`: height of a letter, wall mm."""

    def __init__(self, left: float, right: float, low: float, high: float) -> None:
        self._left, self._right, self._low, self._high = left, right, low, high
        size = max(right - left, (high - low) * 1.2)
        self.letter = max(34.0, size / 75)
        self._unit = size / 2400  # one line weight
        margin_x, above, below = self.letter * 6, self.letter * 11, self.letter * 14
        self._x0, self._y0 = left - margin_x, -(high + above)
        self._width, self._height = right - left + 2 * margin_x, high - low + above + below
        self._page = svg.Drawing(self._width, self._height, origin=(self._x0, self._y0), id_prefix="w")
        self._page.append(svg.Rectangle(self._x0, self._y0, self._width, self._height, fill="white"))
        self._notes: list[svg.Text] = []
        self._hatch = self._pattern("hatch", lambda p, s: p.append(svg.Line(0, s, s, 0, stroke="black", stroke_width=s / 14)))
        self._dots = self._pattern("dots", lambda p, s: p.append(svg.Circle(s / 2, s / 2, s / 9, fill="black")))

    def _pattern(self, name: str, draw: Callable[[svg.Pattern, float], object]) -> svg.Pattern:
        size = 24.0
        pattern = svg.Pattern(size, size, patternUnits="userSpaceOnUse", id=name)
        pattern.append(svg.Rectangle(0, 0, size, size, fill="white"))
        draw(pattern, size)
        return pattern

    def svg(self) -> str:
        self._page.set_render_size(w=f"{self._width / 20:.0f}mm", h=f"{self._height / 20:.0f}mm")  # 1 : 20 on paper
        self._page.extend(self._notes)  # last, so that nothing is drawn over them
        text = self._page.as_svg()
        assert text is not None
        return text

    def line(self, x0: float, y0: float, x1: float, y1: float, *, weight: float, dash: str | None = None) -> None:
        self._page.append(svg.Line(x0, -y0, x1, -y1, **self._stroke(weight, dash)))

    def polygon(self, points: Sequence[tuple[float, float]], *, weight: float, dash: str | None = None) -> None:
        flat = [value for x, y in points for value in (x, -y)]
        self._page.append(svg.Lines(*flat, close=True, fill="none", **self._stroke(weight, dash)))

    def rectangle(
        self,
        x0: float,
        y0: float,
        x1: float,
        y1: float,
        *,
        weight: float,
        dash: str | None = None,
        fill: str = "none",
        blank: bool = False,
    ) -> None:
        inside = {"hatch": self._hatch, "dots": self._dots, "plain": "white", "solid": "black"}.get(
            fill, "white" if blank else "none"
        )
        self._page.append(svg.Rectangle(x0, -y1, x1 - x0, y1 - y0, fill=inside, **self._stroke(weight, dash)))

    def circle(self, x: float, y: float, diameter: float, *, weight: float, dash: str | None = None) -> None:
        self._page.append(svg.Circle(x, -y, diameter / 2, fill="none", **self._stroke(weight, dash)))

    def block(self, x: float, y: float, size: float) -> None:
        self.rectangle(x - size / 2, y - size / 2, x + size / 2, y + size / 2, weight=1, fill="solid")

    def cross(self, x: float, y: float, size: float) -> None:
        self.line(x - size, y - size, x + size, y + size, weight=2)
        self.line(x - size, y + size, x + size, y - size, weight=2)

    def tick(self, x: float, y: float) -> None:
        self.line(x, y - self.letter * 0.5, x, y + self.letter * 0.5, weight=1.5)

    def note(
        self, x: float, y: float, text: str, *, turned: bool = False, small: bool = False, above: bool = False,
        below: bool = False, backed: bool = False, anchor: str = "middle",
    ) -> None:  # fmt: skip
        size = self.letter * (0.72 if small else 1.0)
        y += size if above else -size if below else 0
        turn = {"transform": f"rotate(-90 {x:g} {-y:g})"} if turned else {}
        halo = (
            {"paint_order": "stroke", "stroke": "white", "stroke_width": size * 0.35, "stroke_linejoin": "round"}
            if backed
            else {}
        )
        self._notes.append(
            svg.Text(
                text, size, x, -y, text_anchor=anchor, dominant_baseline="central", font_family=FONT, fill="black", **halo, **turn
            )
        )

    def heading(self, title: str, line: str) -> None:
        x, top = self._x0 + self.letter, -self._y0
        self.note(x, top - self.letter * 1.6, title, anchor="start")
        self.note(x, top - self.letter * 3.0, line, small=True, anchor="start")

    def running_below(self, positions: Sequence[float], name: str) -> None:
        self._running(positions, self._low - self.letter * 4.5, self._low - self.letter * 2.2, name)

    def running_above(self, positions: Sequence[float], name: str, *, row: int) -> None:
        y = self._high + self.letter * (2.6 + 2.8 * row)
        self._running(positions, y, self._high + self.letter * 1.2, name)

    def _running(self, positions: Sequence[float], y: float, towards: float, name: str) -> None:
        """A line with a mark at each position and its distance from the left corner; close ones stand in two rows."""
        self.line(positions[0], y, positions[-1], y, weight=0.8)
        below = towards > y
        last, raised = float("-inf"), False
        for x in positions:
            self.line(x, y - self.letter * 0.4, x, y + self.letter * 0.4, weight=1)
            raised = x - last < self.letter * 2.2 and not raised
            offset = self.letter * (1.9 if raised else 1.0)
            self.note(x, y - offset if below else y + offset * 0.9, f"{x:g}", small=True)
            last = x
        self.note(positions[-1] + self.letter, y, name, small=True, anchor="start")

    def running_right(self, positions: Sequence[float]) -> None:
        x = self._right + self.letter * 1.5
        self.line(x, positions[0], x, positions[-1], weight=0.8)
        last = float("-inf")
        for y in positions:
            self.line(x - self.letter * 0.4, y, x + self.letter * 0.4, y, weight=1)
            shift = self.letter * 2.4 if y - last < self.letter * 0.8 else 0.0
            self.note(x + self.letter * 0.7 + shift, y, f"{y:g}", small=True, anchor="start")
            last = y if not shift else float("-inf")

    def key(self, entries: Sequence[tuple[str, Callable[[float, float], None]]]) -> None:
        x, y = self._x0 + self.letter, self._low - self.letter * 10.6
        start, end = x, self._x0 + self._width - self.letter
        for text, draw in entries:
            wide = self.letter * (2.6 + 0.42 * len(text))
            if x + wide > end:
                x, y = start, y - self.letter * 1.5
            draw(x, y)
            self.note(x + self.letter * 1.8, y, text, small=True, anchor="start")
            x += wide

    def swatch(self, x: float, y: float, fill: str) -> None:
        self.rectangle(x, y - self.letter * 0.4, x + self.letter * 1.4, y + self.letter * 0.4, weight=1.5, fill=fill)

    def stroke(self, x: float, y: float, dash: str | None, weight: float) -> None:
        self.line(x, y, x + self.letter * 1.4, y, weight=weight, dash=dash)

    def scale_bar(self) -> None:
        """One metre in halves, at the lower right."""
        y, x = self._low - self.letter * 8.2, self._left
        self.rectangle(x, y, x + 500, y + self.letter * 0.5, weight=1, fill="solid")
        self.rectangle(x + 500, y, x + 1000, y + self.letter * 0.5, weight=1, fill="plain")
        for at, text in ((0, "0"), (500, "0.5"), (1000, "1 m")):
            self.note(x + at, y - self.letter * 0.6, text, small=True)

    def _stroke(self, weight: float, dash: str | None) -> dict[str, object]:
        style: dict[str, object] = {"stroke": "black", "stroke_width": weight * self._unit * 1.6}
        if dash:
            style["stroke_dasharray"] = " ".join(str(part * self._unit * 1.2) for part in DASHES[dash])
        return style
