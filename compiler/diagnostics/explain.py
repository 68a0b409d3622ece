"""The whole story of a code, and a kind word about one that is not there."""

from difflib import get_close_matches

from compiler.diagnostics.codes import CODES
from compiler.diagnostics.model import Diagnostic


def explain(code: str) -> str | None:
    """Title and story of a code, ready to print; None where there is no such code.

    Upper and lower case do not matter.
    """
    info = CODES.get(_tidy(code))
    return None if info is None else f"{_tidy(code)}: {info.title}\n\n{info.story}"


def unknown(code: str) -> Diagnostic:
    """The finding about a code that is not in the table, with the one that was probably meant."""
    near = get_close_matches(_tidy(code), sorted(CODES), n=1, cutoff=0.75)
    remedy = f"did you mean `{near[0]}`? " if near else ""
    return Diagnostic(
        code="E606",
        message=f"there is no code `{code}`",
        help=f"{remedy}`explain` without a code lists them all",
    )


def _tidy(code: str) -> str:
    return code.strip().upper()
