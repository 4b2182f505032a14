"""Colours: the published palette, and contrast by WCAG 2 in light, dark and print."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from compat.model.verdicts import VERDICTS

CSS = files("compat.report").joinpath("templates/report.css").read_text(encoding="utf-8")
# M. Okabe, K. Ito, "Color Universal Design", 2008, the eight colours in figure 16.
OKABE_ITO = {"#000000", "#e69f00", "#56b4e9", "#009e73", "#f0e442", "#0072b2", "#d55e00", "#cc79a7"}


def palettes() -> dict[str, dict[str, str]]:
    """The variables of each theme, those of the light one where a theme sets none."""
    blocks = [
        dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6})", block))
        for block in re.findall(r":root \{(.*?)\}", CSS, re.DOTALL)
    ]
    light, dark, printed = blocks
    return {"light": light, "dark": light | dark, "print": light | printed}


def luminance(colour: str) -> float:
    """Relative luminance of an sRGB colour, WCAG 2.2, "relative luminance"."""
    shares = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    red, green, blue = (s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(first: str, second: str) -> float:
    """Contrast ratio, WCAG 2.2, "contrast ratio"."""
    darker, lighter = sorted((luminance(first), luminance(second)))
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_the_published_extremes() -> None:
    # WCAG 2.2: ratios range from 1 to 21; #767676 on white is the usual 4.5 example (4.54).
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#808080", "#808080") == 1
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("theme", ["light", "dark", "print"])
def test_text_has_a_contrast_of_at_least_4_5(theme: str) -> None:
    colours = palettes()[theme]
    pairs = [(text, "paper") for text in ("ink", "soft", "link")]
    pairs += [("on-colour", verdict) for verdict in VERDICTS if verdict != "hazard"]
    pairs += [("on-hazard", "hazard")]
    low = {pair: contrast(colours[pair[0]], colours[pair[1]]) for pair in pairs}
    assert {pair: ratio for pair, ratio in low.items() if ratio < 4.5} == {}


@pytest.mark.parametrize("theme", ["light", "dark", "print"])
def test_the_load_mark_stands_out_from_window_and_track(theme: str) -> None:
    # WCAG 2.2, success criterion 1.4.11: at least 3:1 for graphics.
    colours = palettes()[theme]
    assert min(contrast(colours["ink"], colours[ground]) for ground in ("window", "track", "paper")) >= 3


def test_outcome_colours_are_the_published_palette_and_differ() -> None:
    for colours in palettes().values():
        outcome = {colours[verdict] for verdict in VERDICTS}
        assert len(outcome) == len(VERDICTS)
        assert outcome | {colours["on-colour"], colours["on-hazard"]} <= OKABE_ITO
