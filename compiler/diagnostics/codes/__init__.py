"""Every code in one table. One file a range; a code never changes its meaning and is never reused.

E0 text and YAML, E1 the schema, E2 references between parts of a job, E3 geometry, E4 planning,
E5 evidence, E6 files and outputs, E7 drawings and models, E8 families, E9 the tool's own faults. W
mirrors them for warnings.
"""

from compiler.diagnostics.codes import (
    choosing,
    drawings,
    evidence,
    families,
    files,
    geometry,
    language,
    planning,
    references,
    text,
)
from compiler.diagnostics.codes.model import CodeInfo

CODES: dict[str, CodeInfo] = {
    **text.CODES,
    **language.CODES,
    **references.CODES,
    **geometry.CODES,
    **planning.CODES,
    **choosing.CODES,
    **evidence.CODES,
    **files.CODES,
    **drawings.CODES,
    **families.CODES,
}

__all__ = ["CODES", "CodeInfo"]
