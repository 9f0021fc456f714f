"""What a rinse is expected to leave, beside the published thresholds."""

from canalclock.core.calculators.asking import NOT_ADVICE, Answer, Calculator, Quantity
from canalclock.core.calculators.shape import Shaped, open_ended, shaped
from canalclock.core.dosing import canal, needle, rinse


class Asked(Shaped, frozen=True, kw_only=True):
    """What was there, the rinse, the canal and where the needle's tip was."""

    concentration_pct_wv: float
    volume_ml: float
    seconds: float
    short_of_wl_mm: float
    needle_tip: str
    limit_pct_wv: float = rinse.COLOUR_PCT_WV
    mixing: float = rinse.MIXING


def ask(given: Asked) -> Answer:
    """Residual mean and at the apex, with its band."""
    c = shaped(given)
    bare = min(
        needle.not_reached_mm(given.short_of_wl_mm, open_ended(given.needle_tip)), c.length_mm
    )
    left = rinse.residual(
        given.concentration_pct_wv,
        given.volume_ml,
        canal.volume_ul(c),
        bare,
        canal.share_below(c, bare),
        given.seconds,
        given.mixing,
    )
    values: dict[str, Quantity] = {
        "residual_mean_pct_wv": left.residual_mean_pct_wv,
        "residual_apex_pct_wv": left.residual_apex_pct_wv,
        "residual_mean_low_pct_wv": left.low_mean_pct_wv,
        "residual_mean_high_pct_wv": left.high_mean_pct_wv,
        "not_reached_mm": bare,
        "colour_pct_wv": rinse.COLOUR_PCT_WV,
        "precipitate_pct_wv": rinse.PRECIPITATE_PCT_WV,
        "below_colour": max(left.high_mean_pct_wv, left.residual_apex_pct_wv) < rinse.COLOUR_PCT_WV,
        "blotting_cycles": rinse.blotting_cycles(given.concentration_pct_wv, given.limit_pct_wv)
        if given.concentration_pct_wv > 0
        else 0,
    }
    return Answer(
        values=values,
        source=(
            "Two-zone model (derived); mixing 0.05, band 0.02 to 0.1, blotting 0.2 (choice)",
            "Diffusion in a closed slab (Crank; memory, high), D 1.5e-9 m²/s (memory, medium)",
            "Thresholds with 2 % chlorhexidine: Basrani et al., J Endod 2007 (found)",
        ),
        cautions=(
            "A model: no wash-out curve of a real canal is published. It adds words to a warning"
            " and never takes one away.",
            "Needle near its reach, stir, dry and refill does more than more millilitres.",
            NOT_ADVICE,
        ),
    )


CALCULATOR = Calculator(
    name="rinse",
    about="What a rinse is expected to leave",
    inputs=Asked,
    ask=ask,
    example={
        "concentration_pct_wv": 2.5, "volume_ml": 2, "seconds": 30, "working_length_mm": 12,
        "apical_size": 35, "taper_pct": 6, "short_of_wl_mm": 2, "needle_tip": "side_vented",
    },
)  # fmt: skip
