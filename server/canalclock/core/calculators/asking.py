"""What a calculator is: a struct of inputs, a function of it, an answer with its source."""

from collections.abc import Callable, Mapping
from typing import Any, Final

from msgspec import Struct

from canalclock.core.dosing.strength import Basis, pct_wv

NOT_ADVICE: Final = (
    "A calculation, not advice: it does not replace licensed judgement and local codes."
)
NOMINAL: Final = (
    "Nominal, by the label: bottles were found 14.3 % below to 23.5 % above it."
    " A titrated value overrides the label."
)

Quantity = float | int | str | bool | None | list[dict[str, object]] | list[list[float]]


class Inputs(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Base of a calculator's inputs; each field carries its unit in its name."""


class Labelled(Inputs, frozen=True, kw_only=True):
    """A hypochlorite strength on exactly one basis, as the label states it."""

    concentration_pct_wv: float | None = None
    concentration_pct_ww: float | None = None
    chlorine_pct_wv: float | None = None
    chlorine_pct_ww: float | None = None
    chlorine_g_per_l: float | None = None
    chlorine_mg_per_l: float | None = None
    degrees: float | None = None
    excess_naoh_pct_ww: float = 0.0


_BASIS_OF: Final[dict[str, Basis]] = {
    "concentration_pct_wv": "pct_wv",
    "concentration_pct_ww": "pct_ww",
    "chlorine_pct_wv": "chlorine_pct_wv",
    "chlorine_pct_ww": "chlorine_pct_ww",
    "chlorine_g_per_l": "chlorine_g_per_l",
    "chlorine_mg_per_l": "chlorine_mg_per_l",
    "degrees": "degrees",
}


def labelled_pct_wv(given: Labelled) -> float:
    """
    Strength by volume of a label on its one stated basis.

    Args:
        given: Inputs with exactly one strength.

    Returns:
        NaOCl. [% w/v]

    Raises:
        ValueError: No strength, more than one, or one out of range.

    Source:
        `dosing.strength.pct_wv`.
    """
    stated = [name for name in _BASIS_OF if getattr(given, name) is not None]
    if len(stated) != 1:
        found = ", ".join(stated) or "none"
        raise ValueError(
            f"strength: found {found}, expected exactly one of {', '.join(_BASIS_OF)};"
            " per cent of what is part of the value"
        )
    label = stated[0]
    try:
        return pct_wv(getattr(given, label), _BASIS_OF[label], given.excess_naoh_pct_ww)
    except ValueError as fault:
        of_value = str(fault).removeprefix("value:")
        raise ValueError(str(fault) if of_value == str(fault) else f"{label}:{of_value}") from fault


class Answer(Struct, frozen=True, kw_only=True):
    """What a calculator answers."""

    values: dict[str, Quantity]
    """One value a quantity, the unit in its name."""
    source: tuple[str, ...]
    cautions: tuple[str, ...]

    def document(self) -> dict[str, Any]:
        """The answer as one flat object."""
        return {**self.values, "source": list(self.source), "cautions": list(self.cautions)}


class Calculator(Struct, frozen=True, kw_only=True):
    """A named question."""

    name: str
    about: str
    inputs: type[Inputs]
    ask: Callable[[Any], Answer]
    example: Mapping[str, float | int | str]


def missing(given: Inputs, *names: str) -> None:
    """
    Refuse when a needed input is not given.

    Raises:
        ValueError: Names every input that is missing.
    """
    absent = [n for n in names if getattr(given, n) is None]
    if absent:
        raise ValueError(f"{', '.join(absent)}: found nothing, expected a value")
