"""Small drawings of the pages, in the grammar of the papers: a disc is done, a frame is to do, a square goes back.

Colour never says it alone: each verdict has a shape, a sign in it, and its word beside it.
"""

from decimal import Decimal

from markupsafe import Markup

_SIGNS = {
    "passed": '<circle cx="50" cy="50" r="46" class="ink"/><path d="M26 52l17 17 32-37" class="sign"/>',
    "sealed": '<circle cx="50" cy="50" r="46" class="ink"/><path d="M26 52l17 17 32-37" class="sign"/>',
    "recount": '<rect x="6" y="6" width="88" height="88" class="ink"/>'
    '<path d="M72 66V44a12 12 0 0 0-12-12H28m16-16L28 32l16 16" class="sign"/>',
    "look": '<rect x="9" y="9" width="82" height="82" class="frame"/>'
    '<path d="M18 50q32-40 64 0q-32 40-64 0z" class="line"/><circle cx="50" cy="50" r="11" class="ink"/>',
    "stop": '<rect x="5" y="5" width="90" height="90" class="frame"/><rect x="20" y="20" width="60" height="60"'
    ' class="ink"/><path d="M34 34l32 32m0-32L34 66" class="sign"/>',
    "refused": '<rect x="9" y="9" width="82" height="82" class="frame dashed"/>'
    '<path d="M50 26v32m0 12v6" class="line"/>',
    "none": '<rect x="9" y="9" width="82" height="82" class="frame"/>',
}


def sign(name: str) -> Markup:
    """The shape of a verdict; read aloud it is nothing, its word stands beside it."""
    inner = _SIGNS.get(name, _SIGNS["none"])
    return Markup(f'<svg class="shape" viewBox="0 0 100 100" aria-hidden="true">{inner}</svg>')  # noqa: S704


def gauge(lower_g: Decimal, target_g: Decimal | None, upper_g: Decimal, reading_g: Decimal | None) -> Markup:
    """The window as a frame on a line, its target as a stroke, the reading as a disc inside or a square outside.

    The window takes the middle half of the line; what is farther off stands at the line's end, with an arrow.
    """
    width_g = max(upper_g - lower_g, Decimal("0.000001"))

    def place(mass_g: Decimal) -> float:
        return float(25 + 50 * (mass_g - lower_g) / width_g)

    said = f"Window {lower_g} to {upper_g} g"
    marks = [
        '<line x1="2" y1="22" x2="98" y2="22" class="axis"/>',
        '<rect x="25" y="12" width="50" height="20" class="window"/>',
        f'<text x="25" y="43" text-anchor="middle">{lower_g}</text>',
        f'<text x="75" y="43" text-anchor="middle">{upper_g} g</text>',
    ]
    if target_g is not None:
        x = place(target_g)
        marks.append(f'<line x1="{x:.2f}" y1="12" x2="{x:.2f}" y2="32" class="target"/>')
    if reading_g is not None:
        is_in = lower_g <= reading_g <= upper_g
        at = place(reading_g)
        x = min(96.0, max(4.0, at))
        side = "inside" if is_in else "below" if reading_g < lower_g else "above"
        said += f"; the scale showed {reading_g} g, {side} it"
        if is_in:
            marks.append(f'<circle cx="{x:.2f}" cy="22" r="5" class="reading"/>')
        else:
            marks.append(f'<rect x="{x - 4:.2f}" y="18" width="8" height="8" class="reading"/>')
            if x != at:
                step = -3 if at < x else 3
                marks.append(f'<path d="M{x + step / 3:.2f} 19l{step} 3l{-step} 3" class="beyond"/>')
        words = "start" if x < 12 else "end" if x > 88 else "middle"
        marks.append(f'<text x="{x:.2f}" y="8" text-anchor="{words}" class="strong">{reading_g} g</text>')
    drawn = "".join(marks)
    box = "0 0 100 46" if reading_g is not None else "0 10 100 35"
    return Markup(f'<svg class="gauge" viewBox="{box}" role="img" aria-label="{said}">{drawn}</svg>')  # noqa: S704


def ruler(longest_mm: int) -> Markup:
    """The part's longest side as a bar over a ruler of the same scale, in millimetres."""
    length = max(10, -(-longest_mm // 10) * 10)
    strokes = "".join(
        f'<line x1="{mm}" y1="8" x2="{mm}" y2="{12 if mm % 10 == 0 else 10.5 if mm % 5 == 0 else 9.5}"/>'
        for mm in range(0, length + 1, 1 if length <= 100 else 5)
    )
    figures = "".join(
        f'<text x="{mm}" y="16" text-anchor="middle">{mm}</text>'
        for mm in range(0, length + 1, 10 if length <= 100 else 50)
    )
    said = f"Its longest side is {longest_mm} mm, here beside a ruler."
    return Markup(  # noqa: S704
        f'<svg class="ruler" viewBox="-3 0 {length + 6} 18" width="{length + 6}mm" role="img" aria-label="{said}">'
        f'<rect x="0" y="1" width="{longest_mm}" height="5" class="ink"/>{strokes}{figures}</svg>'
    )


def box(code: str, length_mm: int, width_mm: int, height_mm: int) -> Markup:
    """A box as it stands on the bench, its sides in proportion, with their lengths in millimetres."""
    most = max(length_mm + width_mm / 2, height_mm + width_mm / 2)
    scale = 80 / most
    long, deep, high = length_mm * scale, width_mm * scale / 2, height_mm * scale
    top, bottom, right = 4 + deep, 4 + deep + high, 4 + long
    said = f"Box {code}: {length_mm} x {width_mm} x {height_mm} mm"
    return Markup(  # noqa: S704
        f'<svg class="box" viewBox="0 0 {right + deep + 44:.1f} {bottom + 12:.1f}" role="img" aria-label="{said}">'
        f'<path d="M4 {top:.1f}h{long:.1f}v{high:.1f}h-{long:.1f}z'
        f"l{deep:.1f}-{deep:.1f}h{long:.1f}l-{deep:.1f} {deep:.1f}"
        f'm{deep:.1f}-{deep:.1f}v{high:.1f}l-{deep:.1f} {deep:.1f}"/>'
        f'<text x="{4 + long / 2:.1f}" y="{bottom + 9:.1f}" text-anchor="middle">{length_mm}</text>'
        f'<text x="{right + deep / 2 + 2:.1f}" y="{bottom - deep / 2 + 7:.1f}">{width_mm}</text>'
        f'<text x="{right + deep + 2:.1f}" y="{4 + high / 2:.1f}">{height_mm} mm</text></svg>'
    )
